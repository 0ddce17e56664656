// W(N) in Jsonnet: jsonnet --ext-code-file data=FILE.json workload.jsonnet
local data = std.extVar('data');
local pi2 = 9.869604401089358;
local part(p) =
  local cavities = p[3];
  local material = (p[1] * cavities + p[2]) / 1000 * (p[6] * (1 - p[4] * (1 - p[5]))) / cavities;
  local cooling = p[7] * p[7] / (pi2 * p[8]) * std.log(8 / pi2 * (p[9] - p[10]) / (p[11] - p[10]));
  local piece = (cooling + p[12]) / cavities;
  local machine = piece * p[13] / 3600 / p[14];
  local labor = piece * p[15] * p[16] / 3600 / p[14];
  local setup = p[17] * (p[13] + p[16]) / p[18];
  local c3 = (((material + machine + labor + setup) / p[19] + p[22]) / p[20] + p[23]) / p[21];
  local need = 20000 * p[0];
  local tooling = p[25] * std.ceil(need / (p[19] * p[20] * p[21] * cavities * p[24]));
  local base = c3 + tooling / need + tooling * p[26] / need;
  local over = base * p[27];
  { line: (base + over + (base + over) * p[28]) * p[0], tooling: tooling, mass: p[1] * p[0] / 1000 };
local bought(b) =
  local unit = b[1] * 1.08 * (1 + b[3]);
  { line: b[0] * unit + std.max(b[2] - 20000 * b[0], 0) * unit / 20000, mass: b[0] * b[4] / 1000 };
local sum(list) = std.foldl(function(a, b) a + b, list, 0);
local parts = [part(p) for p in data.molded];
local boughts = [bought(b) for b in data.bought];
local n = std.length(parts);
local assembly = sum([s[0] * s[1] for s in data.steps]) / 3600 * 24 / 0.85;
local lines = sum([p.line for p in parts]) + sum([b.line for b in boughts]);
local mass = sum([p.mass for p in parts]) + sum([b.mass for b in boughts]) + 0.35;
local landed = ((lines + assembly) * 1.06 + std.max(mass, 1200 * n / 5000) * 2.4) * 1.037;
[landed, (14 * n - landed) / (14 * n), sum([p.tooling for p in parts])]
