# The small scenario's three figures, worked out from the formulas of the trade in exact fractions, without sprue. Prints
# landed cost, tooling exposure and cash needed, in EUR.
from fractions import Fraction as F
import math

usd = F("0.92")
volume = 60_000
inspect_yield = F("0.98")
started = 1 / inspect_yield

# Cooling of a flat plate, Boothroyd, Dewhurst and Knight: s^2/(pi^2 a) ln(4/pi (Tmelt - Tmold)/(Teject - Tmold)).
cooling = 2.4**2 / (math.pi**2 * 0.09) * math.log(4 / math.pi * (230 - 60) / (90 - 60))
cycle = F(cooling) + 7
cavities = 2

material = F("0.011") * F("2.00") * usd * started
machine = cycle / cavities * F(9) * usd / 3600 / F("0.9") * started
# An operator who tends machines is paid by the machine's hour: standard times and their efficiency do not come into it.
attendance = cycle / cavities * F("0.25") * F("6.50") * usd / 3600 / F("0.9") * started
inspection = F(6) / 3600 * F("6.50") * usd / F("0.85") / inspect_yield
batches = math.ceil(volume * started / 5000)
setup = batches * F("2.5") * (F(9) + F("6.50") / F("0.85")) * usd / volume
packaging = F("0.90") * usd / 200
factory = material + machine + attendance + inspection + setup + packaging

units = 30 * 200
gross = F("3.1") * 30
volumetric = F("0.4") * F("0.3") * F("0.25") * 30 * 1000
chargeable = math.ceil(max(gross, volumetric) / F("0.5")) * F("0.5")
freight = (F("0.18") * usd * chargeable + 240 * usd) / units
tooling = 6400 * usd
duty = (factory + tooling / volume + freight) * F("0.065")
landed = factory + freight + duty

# Before the first shipment: both halves of the tool, the first month's production (30 days before it is shipped), and on the
# day itself the first month's freight and duty.
share = F("0.1")
cash = tooling + factory * volume * share + (freight + duty) * volume * share

for value in (landed, tooling, cash):
    print(repr(float(value)))
