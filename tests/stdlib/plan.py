# The plan of plan.sprue, worked out in exact fractions from the formulas of the trade, without sprue. Prints the expectations that stand in
# that file: what a unit costs, the headlines, and what has been paid and received by each day on which money moves.
from datetime import date, timedelta
from fractions import Fraction as F
import math


def days(n):
    return timedelta(days=n)


def months_after(day, n):
    month = day.month - 1 + n
    return date(day.year + month // 12, month % 12 + 1, day.day)  # no day here is past the 28th


volume, amortized = 12_000, 10_000
ramp = [F(1, 10), F(3, 10), F(4, 10), F(2, 10)]
start = date(2026, 1, 5)
decision = date(2026, 6, 25)

# Dates: each event begins when those before have ended and, where it waits, the tool is approved.
frozen = start + days(20)
released = frozen + days(3) + days(2)
lead, proving = days(40), days(21)
approved = released + lead + proving
pilot = max(released, approved) + days(4) + days(10)
certified = pilot + days(12)
shipped = certified + days(5) + days(6)
production = shipped - days(30)

# Revenue.
without_tax = F("59.50") / F("1.19")
web = without_tax * F("0.97") - F("1.50") - F("0.02") * F("59.50")
invoice = without_tax * F("0.6") * F("0.9")
shops = invoice * F("0.98") - F("0.02") * invoice - (F("0.01") * without_tax + F("0.10"))
net_revenue = F("0.4") * web + F("0.6") * shops

# The molded part and its setups; people.
started = 1 / F("0.95")
people = F(18) / F("0.9")
material = F("0.050") * 2 * started
conversion = F(36, 3600) * 40 * started
attendance = F(36, 3600) * F("0.5") * 18 * started
setup_cost = 2 * (40 + people)


def setups(units):
    return math.ceil(started * units / 1000) * setup_cost / units


setup = setups(volume)
salvage = F("-0.02") * F("0.05") * started


# Times the standard time over n pieces: the sum by the unit model up to the piece that takes it.
def learned(n):
    b = math.log(0.8) / math.log(2)
    return F((500.5 ** (1 + b) - 0.5 ** (1 + b)) / ((1 + b) * 500**b) + (n - 500)) / n


by_hand = F(60, 3600) * people
labor = attendance + by_hand * learned(volume)

# Bought: four orders of 3500 motors for 12 120; one of 15 000 knobs for 12 000, through the maker.
motor_order = 3_500 * 4
motor_left = 4 * 3_500 - volume * F("1.01")
motor_excess = F("0.5") * 4 * motor_left
motor_used = 4 * F("1.01")
knob_excess = F(15_000 - volume)
turnkey = 1 + knob_excess / volume
bought = motor_used + 1
excess = (motor_excess + knob_excess) / volume
handling = F("0.04") * turnkey + F("0.02") * motor_used
packaging = F("2.40") / 20
in_price = F("0.20")
markup = F("0.08") + F("0.05")
overhead = markup * (setup + conversion + labor + salvage + material + packaging + turnkey)
factory = material + bought + excess + handling + conversion + labor + setup + salvage + in_price + overhead + packaging
paid_to_maker = material + conversion + labor + setup + overhead + packaging + handling + salvage + in_price + turnkey

# Tools: sets as they wear out, ordered so that they are approved when they are needed.
set_price = 40_000 * (1 + F("0.10") + F("0.05")) + 300
shots = volume * started
so_far = [sum(ramp[: i + 1]) for i in range(4)]
needed = [max(math.ceil(shots * s / 5_000), 1) for s in so_far]
assert needed == [1, 2, 3, 3]
orders = [released] + [max(months_after(shipped, m) - lead - proving, released) for m in (1, 2)]
jigs = 2 * 2_000
tooling = [(o, set_price) for o in orders] + [(frozen, jigs)]
tooling_total = sum(a for _, a in tooling)
payments = []  # of tools: due, days to pay, amount
for o in orders:
    for share, after, net in (("0.30", days(0), 10), ("0.30", lead, 20), ("0.25", lead + proving, 30), ("0.15", shipped - released, 45)):
        payments.append((o, o + after, days(net), F(share) * set_price))
for after in (days(0), days(14 + 7)):
    payments.append((frozen, frozen + after, days(0), F(jigs, 2)))

# Lanes.
tool_share = (tooling_total + F(1_200)) / volume
units = 31 * 20
gross = F("12.1") * 31
chargeable = math.ceil(max(gross, F("0.06") * 31 * 1000) / F("0.5")) * F("0.5")
sea_freight = ((2 + F("0.10")) * chargeable + 90) / units + (F("0.10") * gross + 60) / units
to_shelf = max(F("0.05") * gross + 10, 80) / units
rate = F("1.10") * F("0.005")
sea_insurance = rate * (factory + sea_freight) / (1 - rate)
entries = [months_after(shipped, i) + days(14) for i in range(4)]
# Duties besides: rate, amount a unit, from the first and to the last day of entry.
programs = [(F("0.06"), F("0.05"), date(2026, 6, 20), date.max), (F("0.01"), 0, date.min, date(2026, 8, 15)), (F("0.02"), F("0.02"), date.min, date(2026, 9, 1))]


# Rate and amount of them for what enters with the given shares of the units.
def besides(shares):
    applies = [sum(part for part, day in zip(shares, entries) if first <= day <= last) for _, _, first, last in programs]
    return (sum(rate * a for (rate, _, _, _), a in zip(programs, applies)), sum(each * a for (_, each, _, _), a in zip(programs, applies)))


more_rate, more_each = besides(ramp)
sea_value = factory + sea_freight + sea_insurance + tool_share
sea_fees = (40 + min(max(F("0.003464") * (factory + tool_share) * units, 10), F("575.35"))) / units
sea_duty = sea_value * (F("0.04") + more_rate) + more_each
sea_tax = F("0.10") * (sea_value + sea_duty + sea_fees + to_shelf)
sea_paid = sea_duty + sea_fees
lost_tax = sea_tax * F("0.4")
air_chargeable = math.ceil(max(F("12.1") * 10, F(60_000 * 10, 6_000)) / F("0.5")) * F("0.5")
air_freight = 5 * air_chargeable / 200
air_duty = F("0.04") * (factory + F(tooling_total) / volume)
freight = F("0.75") * (sea_freight + to_shelf) + F("0.25") * air_freight
insurance = F("0.75") * sea_insurance
duty = F("0.75") * sea_paid + F("0.25") * air_duty
tax = F("0.75") * lost_tax
landed = factory + freight + insurance + duty + tax
assist_duty = F("0.75") * tool_share * F("0.04")


# A unit of the first or last month: other setups, other learning, other lanes, another duty.
def lot_cost(more_setup, more_labor, sea_share, air_share, month):
    more = (more_setup + more_labor) * (1 + markup)
    more += (sea_freight + to_shelf + sea_insurance) * (sea_share - F("0.75")) + air_freight * (air_share - F("0.25"))
    rate_then, each_then = besides([int(i == month) for i in range(4)])
    then = sea_paid + sea_value * (rate_then - more_rate) + each_then - more_each
    return more + then * sea_share - sea_paid * F("0.75") + air_duty * (air_share - F("0.25"))


first_units, last_units = volume * ramp[0], volume * ramp[3]
first_lot = lot_cost(setups(first_units) - setup, by_hand * (learned(first_units) - learned(volume)), F("0.5"), F("0.5"), 0)
# In steady state people take the standard time.
steady = lot_cost(setups(last_units) - setup, by_hand * (1 - learned(volume)), F(1), F(0), 3)

# Serving and projects.
warranty = F("0.02") * (landed + 3 + 2)
returns = F("0.05") * (F("0.4") * landed + 2 + 1 + F("0.50"))
royalties = F("0.02") * net_revenue + F("0.10")
serving = warranty + returns + royalties
served = landed + serving + landed * F("0.10") * F("36.5") / 365 + 2 * F("0.05")
samples = 100 * 30 * F("1.1") + 800 - 20 * landed
radio = F(4_000) + F("0.5") * 2_000
one_offs = samples + radio

# Money by day.
out, received = {}, {}


def pay(day, amount):
    out[day] = out.get(day, 0) + amount


def receive(day, amount):
    received[day] = received.get(day, 0) + amount


for _, due, net, amount in payments:
    pay(due + net, amount)
for k in range(4):
    arrives = months_after(production, k)
    pay(arrives - days(25), F("0.3") * motor_order)
    pay(arrives + days(30), F("0.7") * motor_order)
for i, part in enumerate(ramp):
    units_then = volume * part
    ships = months_after(shipped, i)
    pay(months_after(production, i), paid_to_maker * units_then)
    pay(ships, (freight + insurance + duty - assist_duty + serving) * units_then)
    pay(ships + days(14), F("0.75") * sea_tax * units_then)
    receive(ships + days(14 + 45), F("0.75") * sea_tax * F("0.6") * units_then)
    receive(ships + days(5), F("0.4") * web * units_then)
    receive(ships + days(45), F("0.6") * shops * units_then)
pay(shipped, assist_duty * volume)
pay(pilot + days(15), samples)
pay(certified + days(20), radio)
for k in range(3):
    pay(months_after(start, k), F(1_000))
receive(date(2026, 3, 1), 300 * 20 * F("0.97"))
receive(shipped, F(-300 * 20))
receive(date(2026, 11, 20), F(-200))


def through(flows, day):
    return sum(amount for when, amount in flows.items() if when <= day)


balances = [(through(received, day) - through(out, day), day) for day in sorted(set(out) | set(received))]
lowest = min(b for b, _ in balances)
lowest_day = min(day for b, day in balances if b == lowest)

# Exposures.
committed = sum(a for o, a in tooling if o <= decision)
paid_then = sum(a for _, due, net, a in payments if due + net <= decision)
lost = 0
for o in orders:
    paid = sum(a for ordered, due, net, a in payments if ordered == o and due + net <= decision)
    worked = set_price * min(F((decision - o).days, lead.days), 1) + 500
    lost += max(max(paid, worked) - 200, 0)
lost += jigs
shipped_then = volume * sum(part for i, part in enumerate(ramp) if months_after(shipped, i) < decision)
margin = net_revenue - landed
exposure = sum(a for o, a in tooling if o <= shipped)
tools_paid = sum(a for _, due, net, a in payments if due + net <= shipped)
tools_due = sum(a for _, due, net, a in payments if due <= shipped)
motors_owed = sum(F("0.7") * motor_order for k in range(4) if months_after(production, k) <= shipped < months_after(production, k) + days(30))
motors_open = sum(motor_order for k in range(4) if months_after(production, k) - days(25) <= decision < months_after(production, k))
owed = tools_due - tools_paid + motors_owed
owed += sum(a for ends, net, a in ((pilot, 15, samples), (certified, 20, radio)) if ends <= shipped < ends + days(net))
with_tooling = landed + F(tooling_total) / amortized


def money(value, places, unit="USD"):
    return f"{float(value):.{places}f} {unit}"


def expect(left, right, tolerance, text):
    print(f'expect {left} = {right} +- {tolerance} "{text}"')


for category, value in dict(material=material, bought=bought, excess=excess, conversion=conversion, labor=labor, setup=setup, handling=handling,
                            salvage=salvage, tools=in_price, overhead=overhead, packaging=packaging, freight=freight, insurance=insurance,
                            duty=duty, tax=tax).items():
    expect(f"landed_cost.{category}", money(value, 6, "USD/unit"), "0.000001 USD/unit", f"{category} of a unit")
for name, value in dict(warranty=warranty, returns=returns, royalties=royalties).items():
    expect(f"serving_cost.{name}", money(value, 6, "USD/unit"), "0.000001 USD/unit", f"{name} of a unit")
for name, value in dict(net_revenue=net_revenue, landed_cost=landed, landed_cost_with_tooling=with_tooling, landed_cost_first_lot=landed + first_lot,
                        landed_cost_steady=landed + steady, cost_served=served).items():
    expect(f"p.{name}", money(value, 6, "USD/unit"), "0.000001 USD/unit", name.replace("_", " "))
for name, value in dict(gross_margin=margin / net_revenue, gross_margin_with_tooling=(net_revenue - with_tooling) / net_revenue,
                        tooling_carried=margin * volume / (tooling_total + one_offs)).items():
    expect(f"p.{name}", f"{float(value):.8f}", "0.00000001", name.replace("_", " "))
for name, value in dict(contribution=margin * volume - tooling_total, tooling_exposure=exposure, tooling_planned=tooling_total, tooling_paid=tools_paid,
                        tooling_outstanding=exposure - tools_paid, tooling_approved=tooling_total, tooling_committed=committed,
                        tooling_paid_then=paid_then, tooling_outstanding_then=committed - paid_then, tooling_cancel_loss=lost,
                        tooling_unrecovered_cost=tooling_total * max(1 - F(shipped_then) / amortized, 0),
                        tooling_unrecovered_margin=max(committed - shipped_then * margin, 0), tooling_guaranteed=6_000 * (1 - F(shipped_then, 6_000)),
                        component_exposure=motors_open, cash_needed=through(out, shipped),
                        cash_net=through(out, shipped) - through(received, shipped - days(1)), cash_owed=owed, deposits_refundable=300 * 20,
                        cash_peak_before=min(b for b, day in balances if day <= shipped), cash_peak=lowest).items():
    expect(f"p.{name}", money(value, 4), "0.0001 USD", name.replace("_", " "))
print(f'expect p.cash_peak_date = {lowest_day} and p.first_shipment_date = {shipped} "days of the deepest balance and of the first shipment"')
expect("reserve.total", money(F("0.1") * 3 * set_price, 4), "0.0001 USD", "a tenth of all sets, set aside")
expect("sea.landed", money(factory + sea_freight + to_shelf + sea_insurance + sea_paid + lost_tax, 6, "USD/unit"), "0.000001 USD/unit", "a unit by sea")
expect("air.landed", money(factory + air_freight + air_duty, 6, "USD/unit"), "0.000001 USD/unit", "a unit by air")
print('expect sea.extra.first = 0% and sea.extra.last = 100% and sea.passing.first = 100% and sea.passing.last = 0% "what is in force at both ends"')
# The event that ships is the last; each leads to the next without a pause, and the mold is what the pilot waits for. The jigs may be
# approved as late as the mold.
print('expect frozen.slack = 0 day and released.slack = 0 day and pilot.slack = 0 day and shell_mold.slack = 0 day "the critical path, lags in it"')
print(f'expect jig.slack = {(approved - frozen - days(21)).days} day "the jigs can wait"')
print(f'expect shell_mold.spending_approved = {pilot} and sum(shell_mold.months_served) = 7 "1, 2 and 4 months by one, two and three sets"')
print('expect in_four.order_net = 10 day and in_four.first_shot_net = 20 day and in_four.approval_net = 30 day and in_four.shipment_net = 45 day "days to pay"')
expect("shell_mold.per_unit", money(F(3) * set_price / amortized, 6, "USD/unit"), "0.000001 USD/unit", "its sets over the units that pay them back")
for day in sorted({o for o, _ in tooling}):
    expect(f"tooling.through({day})", money(sum(a for o, a in tooling if o <= day), 4), "0.0001 USD", "ordered by that day")
for day in sorted(out):
    expect(f"cash.out_through({day})", money(through(out, day), 4), "0.0001 USD", "paid by that day")
for day in sorted(received):
    expect(f"cash.in_through({day})", money(through(received, day), 4), "0.0001 USD", "received by that day")
print('expect deposits_held.before(2026-03-01) = 0 USD and deposits_held.through(2026-03-01) = 6_000 USD "deposits held from the day they are paid"')
print(f'expect deposits_held.before({shipped}) = 6_000 USD and deposits_held.through({shipped}) = 0 USD "until their goods ship"')
print('expect abs(p.cost_to_cash) < 0.000001 USD "cost ties out to cash"')
