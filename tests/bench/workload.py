"""W(N) in plain Python, and its simulation in numpy. Usage: workload.py once FILE.json | workload.py numpy FILE.json TRIALS"""
import json
import math
import sys
import time


def once(data):
    volume, fx = 20000, 1.08
    lines = tooling_all = mass = 0.0
    for (usage, part_g, runner_g, cavities, share, factor, resin, wall, diffusivity, melt, mold, eject, overhead_s, machine_rate, uptime, crew, labor_rate,
         setup_h, batch, y1, y2, y3, op2, op3, life, tool, maintenance, overhead, profit) in data["molded"]:
        shot = part_g * cavities + runner_g
        price = resin * (1 - share * (1 - factor))
        material = shot / 1000 * price / cavities
        cooling = wall * wall / (math.pi ** 2 * diffusivity) * math.log(8 / math.pi ** 2 * (melt - mold) / (eject - mold))
        piece = (cooling + overhead_s) / cavities
        machine = piece * machine_rate / 3600 / uptime
        labor = piece * crew * labor_rate / 3600 / uptime
        setup = setup_h * (machine_rate + labor_rate) / batch
        c3 = (((material + machine + labor + setup) / y1 + op2) / y2 + op3) / y3
        need = volume * usage
        tooling = tool * math.ceil(need / (y1 * y2 * y3 * cavities * life))
        base = c3 + tooling / need + tooling * maintenance / need
        over = base * overhead
        lines += (base + over + (base + over) * profit) * usage
        tooling_all += tooling
        mass += part_g * usage / 1000
    for usage, price, moq, scrap, mass_g in data["bought"]:
        unit = price * fx * (1 + scrap)
        lines += usage * unit + max(moq - volume * usage, 0) * unit / volume
        mass += usage * mass_g / 1000
    n = len(data["molded"])
    assembly = sum(s * r for s, r in data["steps"]) / 3600 * 24 / .85
    landed = ((lines + assembly) * 1.06 + max(mass + .35, 1200 * n / 5000) * 2.4) * 1.037
    return landed, (14 * n - landed) / (14 * n), tooling_all


def simulate(data, trials):
    import numpy as np
    draw = np.random.Generator(np.random.Philox(1))

    def around(value, low, high):
        return draw.triangular(value * low, value, value * high, trials)
    volume, fx = around(20000, .6, 1.5), around(1.08, .95, 1.08)
    lines, tooling_all, mass = np.zeros(trials), np.zeros(trials), 0.0
    for (usage, part_g, runner_g, cavities, share, factor, resin, wall, diffusivity, melt, mold, eject, overhead_s, machine_rate, uptime, crew, labor_rate,
         setup_h, batch, y1, y2, y3, op2, op3, life, tool, maintenance, overhead, profit) in data["molded"]:
        resin, wall, mold = around(resin, .9, 1.2), around(wall, .95, 1.05), around(mold, .9, 1.1)
        overhead_s, machine_rate = around(overhead_s, .85, 1.3), around(machine_rate, .9, 1.15)
        uptime, y1, tool = around(uptime, .95, 1.04), around(y1, .99, 1.004), around(tool, .9, 1.25)
        shot = part_g * cavities + runner_g
        material = shot / 1000 * (resin * (1 - share * (1 - factor))) / cavities
        cooling = wall * wall / (math.pi ** 2 * diffusivity) * np.log(8 / math.pi ** 2 * (melt - mold) / (eject - mold))
        piece = (cooling + overhead_s) / cavities
        machine = piece * machine_rate / 3600 / uptime
        labor = piece * (crew * labor_rate) / 3600 / uptime
        setup = setup_h * (machine_rate + labor_rate) / batch
        c3 = (((material + machine + labor + setup) / y1 + op2) / y2 + op3) / y3
        need = volume * usage
        tooling = tool * np.ceil(need / (y1 * (y2 * y3 * cavities * life)))
        base = c3 + tooling / need * (1 + maintenance)
        over = base * overhead
        lines += (base + over + (base + over) * profit) * usage
        tooling_all += tooling
        mass += part_g * usage / 1000
    for usage, price, moq, scrap, mass_g in data["bought"]:
        unit = price * fx * (1 + scrap)
        lines += usage * unit + np.maximum(moq - volume * usage, 0) * unit / volume
        mass += usage * mass_g / 1000
    n = len(data["molded"])
    assembly = sum(s * r for s, r in data["steps"]) / 3600 * around(24, .95, 1.12) / .85
    landed = ((lines + assembly) * 1.06 + max(mass + .35, 1200 * n / 5000) * around(2.4, .8, 1.6)) * 1.037
    figures = [landed, (14 * n - landed) / (14 * n), tooling_all]
    return [(float(f.mean()), np.quantile(f, [.05, .25, .5, .75, .95])) for f in figures]


def main():
    with open(sys.argv[2]) as file:
        data = json.load(file)
    if sys.argv[1] == "once":
        print(*once(data))
    else:
        times = []
        for _ in range(5):
            begin = time.perf_counter()
            result = simulate(data, int(sys.argv[3]))
            times.append(time.perf_counter() - begin)
        print(f"{1e3 * sorted(times)[2]:.2f} ms, mean landed {result[0][0]:.6g}")


main()
