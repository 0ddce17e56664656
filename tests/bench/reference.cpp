// Everything a block needs stays in a few rows; what does not vary in a block is worked out once.
#include "tests/bench/reference.hpp"

#include <algorithm>

#include "lang/graph/arithmetic_core.hpp"
#include "runtime/machine/vectors.hpp"

namespace sprue::bench {
namespace {

using namespace sprue::arithmetic;

constexpr double pi_squared = 9.869604401089358;

enum Part : std::size_t {
  usage,
  part_g,
  runner_g,
  cavities,
  regrind_share,
  regrind_price_factor,
  resin_price,
  wall,
  diffusivity,
  t_melt,
  t_mold,
  t_eject,
  overhead_s,
  machine_rate,
  uptime,
  crew,
  labor_rate,
  setup_h,
  batch,
  y1,
  y2,
  y3,
  op2_cost,
  op3_cost,
  life,
  tool_price,
  maintenance,
  overhead,
  profit
};

/// What a part costs in a unit, what its tools cost.
struct Cost {
  double line, tooling;
};

[[gnu::always_inline]] inline Cost cost_of(const std::array<double, 29>& p, double volume, double resin_price_v,
                                           double wall_v, double t_mold_v, double overhead_v, double machine_v,
                                           double uptime_v, double y1_v, double tool_v) {
  const double shot_g = p[part_g] * p[cavities] + p[runner_g];
  const double effective = resin_price_v * (1 - p[regrind_share] * (1 - p[regrind_price_factor]));
  const double material = shot_g / 1000 * effective / p[cavities];
  const double cooling = wall_v * wall_v / (pi_squared * p[diffusivity]) *
                         core::logarithm(8 / pi_squared * (p[t_melt] - t_mold_v) / (p[t_eject] - t_mold_v));
  const double cycle = cooling + overhead_v;
  const double piece = cycle / p[cavities];
  const double machine = piece * machine_v / 3600 / uptime_v;
  const double labor = piece * p[crew] * p[labor_rate] / 3600 / uptime_v;
  const double setup = p[setup_h] * (machine_v + p[labor_rate]) / p[batch];
  const double c1 = (material + machine + labor + setup) / y1_v;
  const double c2 = (c1 + p[op2_cost]) / p[y2];
  const double c3 = (c2 + p[op3_cost]) / p[y3];
  const double need = volume * p[usage];
  const double tools = core::ceiling(need / (y1_v * p[y2] * p[y3] * p[cavities] * p[life]));
  const double tooling = tool_v * tools;
  const double amortized = tooling / need;
  const double upkeep = tooling * p[maintenance] / need;
  const double base = c3 + amortized + upkeep;
  const double over = base * p[overhead];
  const double margin = (base + over) * p[profit];
  return {(base + over + margin) * p[usage], tooling};
}

double product(std::size_t i) {
  return product_columns[i].value;
}

double mass_of(const Workload& w) {
  double molded = 0;
  double bought = 0;
  for (const auto& p : w.molded) molded += p[part_g] * p[usage] / 1000;
  for (const auto& b : w.bought) bought += b[0] * b[4] / 1000;
  return molded + bought + product(5);
}

double seconds_of(const Workload& w) {
  double seconds = 0;
  for (const auto& s : w.steps) seconds += s[0] * s[1];
  return seconds;
}

[[gnu::always_inline]] inline double bought_line(const std::array<double, 5>& b, double volume, double fx) {
  const double each = b[1] * fx * (1 + b[3]);
  const double excess = core::maximum(b[2] - volume * b[0], 0.0) * each / volume;
  return b[0] * each + excess;
}

constexpr std::size_t most = 512;

[[gnu::always_inline]] inline void block(const Workload& w, std::span<const double* const> rows, std::size_t count,
                                         double* landed, double* margin, double* tooling) {
  double lines[most];
  double bought[most];
  const double* const* next = rows.data();
  const std::size_t of_parts = 8 * w.molded.size();
  const double* const volume = rows[of_parts];
  const double* const fx = rows[of_parts + 1];
  const double* const rate = rows[of_parts + 2];
  const double* const freight_rate = rows[of_parts + 3];
  std::fill_n(lines, count, 0.0);
  std::fill_n(bought, count, 0.0);
  std::fill_n(tooling, count, 0.0);
  for (const auto& p : w.molded) {
    const double* const a = next[0];
    const double* const b = next[1];
    const double* const c = next[2];
    const double* const d = next[3];
    const double* const e = next[4];
    const double* const f = next[5];
    const double* const g = next[6];
    const double* const h = next[7];
    next += 8;
    for (std::size_t i = 0; i < count; ++i) {
      const Cost cost = cost_of(p, volume[i], a[i], b[i], c[i], d[i], e[i], f[i], g[i], h[i]);
      lines[i] += cost.line;
      tooling[i] += cost.tooling;
    }
  }
  for (const auto& b : w.bought) {
    for (std::size_t i = 0; i < count; ++i) bought[i] += bought_line(b, volume[i], fx[i]);
  }
  const double seconds = seconds_of(w);
  const double mass = core::maximum(mass_of(w), 1200.0 * w.parts / 5000);
  const double list = 14.0 * w.parts;
  for (std::size_t i = 0; i < count; ++i) {
    const double assembly = seconds / 3600 * rate[i] / product(3);
    const double factory = (lines[i] + bought[i] + assembly) * (1 + product(7));
    landed[i] = (factory + mass * freight_rate[i]) * (1 + product(6));
    margin[i] = (list - landed[i]) / list;
  }
}

void block_baseline(const Workload& w, std::span<const double* const> rows, std::size_t count, double* a, double* b,
                    double* c) {
  block(w, rows, count, a, b, c);
}
SPRUE_AVX2 void block_avx2(const Workload& w, std::span<const double* const> rows, std::size_t count, double* a,
                           double* b, double* c) {
  block(w, rows, count, a, b, c);
}
SPRUE_AVX512 void block_avx512(const Workload& w, std::span<const double* const> rows, std::size_t count, double* a,
                               double* b, double* c) {
  block(w, rows, count, a, b, c);
}

}  // namespace

Figures evaluate_by_hand(const Workload& w) {
  double lines = 0;
  double bought = 0;
  double tooling = 0;
  for (const auto& p : w.molded) {
    const Cost cost = cost_of(p, product(0), p[resin_price], p[wall], p[t_mold], p[overhead_s], p[machine_rate],
                              p[uptime], p[y1], p[tool_price]);
    lines += cost.line;
    tooling += cost.tooling;
  }
  for (const auto& b : w.bought) bought += bought_line(b, product(0), product(1));
  const double assembly = seconds_of(w) / 3600 * product(2) / product(3);
  const double factory = (lines + bought + assembly) * (1 + product(7));
  const double landed = (factory + core::maximum(mass_of(w), 1200.0 * w.parts / 5000) * product(4)) * (1 + product(6));
  const double list = 14.0 * w.parts;
  return {landed, (list - landed) / list, tooling};
}

std::size_t uncertain_inputs(const Workload& w) {
  return 8 * w.molded.size() + 4;
}

void evaluate_block_by_hand(const Workload& w, std::span<const double* const> rows, std::size_t count, double* landed,
                            double* margin, double* tooling) {
  switch (widest_vectors()) {
    case Vectors::avx512:
      return block_avx512(w, rows, count, landed, margin, tooling);
    case Vectors::avx2:
      return block_avx2(w, rows, count, landed, margin, tooling);
    default:
      return block_baseline(w, rows, count, landed, margin, tooling);
  }
}

void sweep_by_hand(const Workload& w, std::span<const double> volumes, double* landed) {
  // What the volume does not move is worked out once for each part.
  std::vector<double> lines(volumes.size(), 0);
  for (const auto& p : w.molded) {
    const Cost once = cost_of(p, product(0), p[resin_price], p[wall], p[t_mold], p[overhead_s], p[machine_rate],
                              p[uptime], p[y1], p[tool_price]);
    const double need = product(0) * p[usage];
    const double factor = (1 + p[overhead] + (1 + p[overhead]) * p[profit]) * p[usage];
    const double tools = once.tooling / need * (1 + p[maintenance]);
    const double c3 = once.line / factor - tools;
    const double shots = p[y1] * p[y2] * p[y3] * p[cavities] * p[life];
    for (std::size_t i = 0; i < volumes.size(); ++i) {
      const double needed = volumes[i] * p[usage];
      lines[i] += (c3 + p[tool_price] * core::ceiling(needed / shots) * (1 + p[maintenance]) / needed) * factor;
    }
  }
  for (const auto& b : w.bought) {
    for (std::size_t i = 0; i < volumes.size(); ++i) lines[i] += bought_line(b, volumes[i], product(1));
  }
  const double assembly = seconds_of(w) / 3600 * product(2) / product(3);
  const double freight = core::maximum(mass_of(w), 1200.0 * w.parts / 5000) * product(4);
  for (std::size_t i = 0; i < volumes.size(); ++i)
    landed[i] = ((lines[i] + assembly) * (1 + product(7)) + freight) * (1 + product(6));
}

}  // namespace sprue::bench
