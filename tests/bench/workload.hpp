// The workload W(N): a synthetic product of N molded parts, N/2 purchased parts and N/2 assembly steps, as numbers, as
// Sprue source and as JSON. Inputs come from MINSTD, so every implementation gets the same ones.
#pragma once

#include <fmt/format.h>
#include <array>
#include <cmath>
#include <cstdint>
#include <string>
#include <vector>

namespace sprue::bench {

/// How far an input may lie from its value: factors of a triangular range.
struct Uncertain {
  double low = 0, high = 0;
};
struct Column {
  const char* name;
  int low, high, divisor;
  Uncertain range;
};

inline constexpr std::array<Column, 29> part_columns{{{"usage", 1, 4, 1, {}},
                                                      {"part_g", 200, 8000, 100, {}},
                                                      {"runner_g", 100, 1200, 100, {}},
                                                      {"cavities", 0, 3, 1, {}},
                                                      {"regrind_share", 0, 25, 100, {}},
                                                      {"regrind_price_factor", 30, 50, 100, {}},
                                                      {"resin_price", 150, 600, 100, {.90, 1.20}},
                                                      {"wall", 10, 35, 10, {.95, 1.05}},
                                                      {"diffusivity", 60, 120, 1000, {}},
                                                      {"t_melt", 200, 280, 1, {}},
                                                      {"t_mold", 30, 70, 1, {.90, 1.10}},
                                                      {"t_eject", 80, 110, 1, {}},
                                                      {"overhead_s", 40, 120, 10, {.85, 1.30}},
                                                      {"machine_rate", 2500, 7000, 100, {.90, 1.15}},
                                                      {"uptime", 750, 950, 1000, {.95, 1.04}},
                                                      {"crew", 10, 50, 100, {}},
                                                      {"labor_rate", 1800, 3800, 100, {}},
                                                      {"setup_h", 10, 40, 10, {}},
                                                      {"batch", 1000, 20000, 1, {}},
                                                      {"y1", 950, 995, 1000, {.99, 1.004}},
                                                      {"y2", 970, 999, 1000, {}},
                                                      {"y3", 970, 999, 1000, {}},
                                                      {"op2_cost", 20, 200, 1000, {}},
                                                      {"op3_cost", 20, 150, 1000, {}},
                                                      {"life", 200000, 1000000, 1, {}},
                                                      {"tool_price", 8000, 60000, 1, {.90, 1.25}},
                                                      {"maintenance", 20, 80, 1000, {}},
                                                      {"overhead", 80, 150, 1000, {}},
                                                      {"profit", 50, 120, 1000, {}}}};
inline constexpr std::array<Column, 5> bought_columns{{{"usage", 1, 6, 1, {}},
                                                       {"price", 5, 400, 100, {}},
                                                       {"moq", 1000, 60000, 1, {}},
                                                       {"scrap", 0, 30, 1000, {}},
                                                       {"mass_g", 10, 5000, 100, {}}}};
inline constexpr std::array<Column, 2> step_columns{{{"seconds", 30, 450, 10, {}}, {"repeats", 1, 4, 1, {}}}};

struct Fixed {
  const char* name;
  double value;
  Uncertain range;
};
inline constexpr std::array<Fixed, 8> product_columns{{{"volume", 20000, {.60, 1.50}},
                                                       {"fx", 1.08, {.95, 1.08}},
                                                       {"assembly_rate", 24, {.95, 1.12}},
                                                       {"efficiency", .85, {}},
                                                       {"freight_rate", 2.4, {.80, 1.60}},
                                                       {"packaging", .35, {}},
                                                       {"duty", .037, {}},
                                                       {"general", .06, {}}}};

struct Workload {
  int parts = 0;
  std::vector<std::array<double, 29>> molded;
  std::vector<std::array<double, 5>> bought;
  std::vector<std::array<double, 2>> steps;
};

inline Workload workload(int parts) {
  std::uint64_t state = 20240607;
  const auto pick = [&](const Column& column) {
    state = state * 16807 % 2147483647;
    const double u = static_cast<double>(state) / 2147483647.0;
    return (column.low + std::floor(u * (column.high - column.low + 1))) / column.divisor;
  };
  Workload w;
  w.parts = parts;
  for (int i = 0; i < parts; ++i) {
    w.molded.emplace_back();
    for (std::size_t c = 0; c < part_columns.size(); ++c) w.molded.back()[c] = pick(part_columns[c]);
    w.molded.back()[3] = std::exp2(w.molded.back()[3]);
  }
  for (int i = 0; i < parts / 2; ++i) {
    w.bought.emplace_back();
    for (std::size_t c = 0; c < bought_columns.size(); ++c) w.bought.back()[c] = pick(bought_columns[c]);
  }
  for (int i = 0; i < parts / 2; ++i) {
    w.steps.emplace_back();
    for (std::size_t c = 0; c < step_columns.size(); ++c) w.steps.back()[c] = pick(step_columns[c]);
  }
  return w;
}

/// Pure numbers, as the other implementations have them.
inline constexpr const char* workload_kinds = R"(kind molded {
  usage: ratio, part_g: ratio, runner_g: ratio, cavities: ratio, regrind_share: ratio, regrind_price_factor: ratio
  resin_price: ratio, wall: ratio, diffusivity: ratio, t_melt: ratio, t_mold: ratio, t_eject: ratio, overhead_s: ratio
  machine_rate: ratio, uptime: ratio, crew: ratio, labor_rate: ratio, setup_h: ratio, batch: ratio, y1: ratio, y2: ratio
  y3: ratio, op2_cost: ratio, op3_cost: ratio, life: ratio, tool_price: ratio, maintenance: ratio, overhead: ratio, profit: ratio
  shot_g: ratio = part_g * cavities + runner_g
  effective_price: ratio = resin_price * (1 - regrind_share * (1 - regrind_price_factor))
  material: ratio = shot_g / 1000 * effective_price / cavities
  cooling: ratio = wall * wall / (9.869604401089358 * diffusivity) * ln(8 / 9.869604401089358 * (t_melt - t_mold) / (t_eject - t_mold))
  cycle: ratio = cooling + overhead_s
  piece_s: ratio = cycle / cavities
  machine: ratio = piece_s * machine_rate / 3600 / uptime
  labor: ratio = piece_s * crew * labor_rate / 3600 / uptime
  setup: ratio = setup_h * (machine_rate + labor_rate) / batch
  c1: ratio = (material + machine + labor + setup) / y1
  c2: ratio = (c1 + op2_cost) / y2
  c3: ratio = (c2 + op3_cost) / y3
  need: ratio = (the goods).volume * usage
  tools: ratio = ceil(need / (y1 * y2 * y3 * cavities * life))
  tooling: ratio = tool_price * tools
  amortized: ratio = tooling / need
  upkeep: ratio = tooling * maintenance / need
  base: ratio = c3 + amortized + upkeep
  over: ratio = base * overhead
  margin: ratio = (base + over) * profit
  line: ratio = (base + over + margin) * usage
  mass: ratio = part_g * usage / 1000
}
kind purchased {
  usage: ratio, price: ratio, moq: ratio, scrap: ratio, mass_g: ratio
  need: ratio = (the goods).volume * usage
  each: ratio = price * (the goods).fx * (1 + scrap)
  excess: ratio = max(moq - need, 0) * each / (the goods).volume
  line: ratio = usage * each + excess
  mass: ratio = usage * mass_g / 1000
}
kind work { seconds: ratio, repeats: ratio }
kind goods {
  volume: ratio, fx: ratio, assembly_rate: ratio, efficiency: ratio, freight_rate: ratio, packaging: ratio, duty: ratio, general: ratio
  box_l: ratio, list_price: ratio
  parts: ratio = sum(m.line for m in all molded) + sum(b.line for b in all purchased)
  assembly: ratio = sum(w.seconds * w.repeats for w in all work) / 3600 * assembly_rate / efficiency
  mass: ratio = sum(m.mass for m in all molded) + sum(b.mass for b in all purchased) + packaging
  freight: ratio = max(mass, box_l / 5000) * freight_rate
  factory: ratio = (parts + assembly) * (1 + general)
  headline landed "Landed": ratio = (factory + freight) * (1 + duty)
  headline margin "Margin": ratio = (list_price - landed) / list_price
  headline tooling "Tooling": ratio = sum(m.tooling for m in all molded)
}
)";

/// The shortest decimals; ranges where `uncertain`.
inline std::string workload_source(const Workload& w, bool uncertain) {
  std::string out = workload_kinds;
  const auto field = [&](const char* name, double value, Uncertain range) {
    if (uncertain && range.low > 0) {
      out += fmt::format("  {}: {} within {} .. {}\n", name, value, value * range.low, value * range.high);
    } else {
      out += fmt::format("  {}: {}\n", name, value);
    }
  };
  out += "goods g {\n";
  for (const Fixed& f : product_columns) field(f.name, f.value, f.range);
  out += fmt::format("  box_l: {}\n  list_price: {}\n}}\n", 1200 * w.parts, 14 * w.parts);
  for (std::size_t i = 0; i < w.molded.size(); ++i) {
    out += fmt::format("molded m{} {{\n", i);
    for (std::size_t c = 0; c < part_columns.size(); ++c)
      field(part_columns[c].name, w.molded[i][c], part_columns[c].range);
    out += "}\n";
  }
  for (std::size_t i = 0; i < w.bought.size(); ++i) {
    out += fmt::format("purchased b{} {{\n", i);
    for (std::size_t c = 0; c < bought_columns.size(); ++c) field(bought_columns[c].name, w.bought[i][c], {});
    out += "}\n";
  }
  for (std::size_t i = 0; i < w.steps.size(); ++i)
    out += fmt::format("work w{} {{ seconds: {}, repeats: {} }}\n", i, w.steps[i][0], w.steps[i][1]);
  return out;
}

}  // namespace sprue::bench
