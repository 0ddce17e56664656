// Simulations: what can be worked out by hand comes out, nothing depends on threads or parts, errors are honest.
#include <fmt/format.h>
#include <algorithm>
#include <cmath>
#include <regex>
#include <sstream>

#include "runtime/study/shard.hpp"
#include "runtime/study/simulation.hpp"
#include "runtime/study/statistics.hpp"
#include "tests/catch.hpp"
#include "tests/support/evaluate.hpp"
#include "tests/support/repository.hpp"
#include "tests/support/skip.hpp"

using namespace sprue;
using namespace sprue::testing;

namespace {

const std::string sums =
    "kind part { a: ratio, b: ratio = 1 }\n"
    "kind whole { headline sum \"Sum\": ratio = sum(p.a * p.b for p in all part) }\nwhole w\n"
    "part x { a: 12 within 10 .. 20 }\npart y { a: 5 +- 2 as normal }\npart z { a: 3 within 1 .. 4 as uniform }\n"
    "expect w.sum <= 22 \"not too much\"\n";

bool has(const std::string& text, const std::string& part) {
  return text.find(part) != std::string::npos;
}

/// Values of the first headline.
struct Sampled {
  explicit Sampled(const std::string& text, Scheme scheme = Scheme::random, std::uint64_t trials = 20000,
                   std::uint64_t seed = 1)
      : checked(text), sampler(sampled_inputs(checked.program, checked.evaluation), seed, scheme, trials) {
    INFO(checked.messages());
    REQUIRE(checked.evaluation.sound);
    const Ties ties = ties_of(checked.program, sampler.inputs());
    REQUIRE(sampler.tie(ties.ties));
    const Simulation simulation(checked.evaluation, sampler, {checked.evaluation.lowered.headlines[0].node});
    samples = simulation.run(0, trials);
  }
  std::span<const double> values() const { return samples.values[0]; }
  std::vector<double> input(std::size_t i) const {
    std::vector<double> row(samples.count);
    sampler.row(i, 0, row.size(), row.data());
    return row;
  }
  Checked checked;
  Sampler sampler;
  Samples samples;
};

Run simulate(const std::string& text, std::vector<std::string> options) {
  const TemporaryFolder folder;
  folder.file("a.sprue", text);
  options.insert(options.begin(), {"simulate", "a.sprue"});
  return run_in(folder.path(), options);
}

}  // namespace

TEST_CASE("a sum of ranges has the mean and spread worked out by hand", "[study][simulate]") {
  // Triangular 10, 12, 20: mean 14, variance 14/3; normal 5, 2; uniform 1 .. 4: mean 2.5, variance 3/4.
  const double mean = 14 + 5 + 2.5;
  const double deviation = std::sqrt(14.0 / 3 + 4 + 0.75);
  double last_gap = 1;
  for (const Scheme scheme : {Scheme::random, Scheme::latin, Scheme::sobol}) {
    const Sampled sampled(sums, scheme, 16384);
    const Moments moments = moments_of(sampled.values());
    CHECK(std::fabs(moments.mean - mean) < 4 * deviation / 128);
    CHECK(moments.deviation == Approx(deviation).epsilon(0.02));
    // Points that lie evenly come nearer.
    if (scheme != Scheme::random) CHECK(std::fabs(moments.mean - mean) < 0.002);
    last_gap = std::fabs(moments.mean - mean);
  }
  CHECK(last_gap < 0.002);
}

TEST_CASE("each stratum of a Latin hypercube is met once, in every input", "[study][simulate]") {
  for (const std::uint64_t trials : {1U, 2U, 7U, 1000U}) {
    const Sampled sampled(sums, Scheme::latin, trials);
    const std::vector<double> uniform = sampled.input(2);  // z.a, uniform over 1 .. 4
    std::vector<std::uint64_t> met;
    for (const double value : uniform)
      met.push_back(static_cast<std::uint64_t>((value - 1) / 3 * static_cast<double>(trials)));
    std::sort(met.begin(), met.end());
    for (std::uint64_t i = 0; i < trials; ++i) CHECK(met[i] == i);
  }
}

TEST_CASE("other inputs, threads and parts leave a trial's values the same", "[study][simulate]") {
  const Sampled one(sums);
  const Sampled more(sums + "part m { a: 1 within 0 .. 2 }\n");
  CHECK(one.input(0) == more.input(1));  // x.a
  const Simulation simulation(one.checked.evaluation, one.sampler, {one.checked.evaluation.lowered.headlines[0].node});
  for (const unsigned threads : {1U, 2U, 5U}) CHECK(simulation.run(0, 20000, {}, threads).values == one.samples.values);
  const Samples middle = simulation.run(7001, 3000);
  CHECK(std::equal(middle.values[0].begin(), middle.values[0].end(), one.samples.values[0].begin() + 7001));
}

TEST_CASE("ranges that are tied have the correlation declared, each its own distribution still", "[study][simulate]") {
  for (const double wanted : {-0.9, -0.3, 0.5, 0.95}) {
    const Sampled sampled(sums + fmt::format("correlate x.a with z.a {}\ncorrelate y.a with x.a 20%\n", wanted));
    const auto x = sampled.input(0);
    const auto y = sampled.input(1);
    const auto z = sampled.input(2);
    CHECK(correlation(ranks_of(x), ranks_of(z)) == Approx(wanted).margin(0.03));
    CHECK(correlation(ranks_of(x), ranks_of(y)) == Approx(0.2).margin(0.03));
    CHECK(moments_of(x).mean == Approx(14).epsilon(0.01));
    CHECK(moments_of(z).deviation == Approx(std::sqrt(0.75)).epsilon(0.02));
  }
  const Run impossible =
      simulate(sums + "correlate x.a with y.a 90%\ncorrelate y.a with z.a 90%\ncorrelate x.a with z.a -90%\n", {});
  CHECK(impossible.code == 2);
  CHECK(has(impossible.err, "no distribution has all the correlations declared"));
  CHECK(has(simulate(sums + "correlate x.a with y.a 30%\n", {"--indices"}).err,
            "Sobol indices need inputs that are independent"));
  CHECK(has(simulate(sums + "correlate x.a with y.b 30%\n", {}).out, "The correlation of x.a with y.b is not used"));
}

TEST_CASE("odds come with their error, and trials that are not sound are left out and counted", "[study][simulate]") {
  const Run odds = simulate(
      "kind k { a: ratio = 5 within 0 .. 10 as uniform, headline h: ratio = a\n  require a < 9 \"below nine\" }\nk "
      "one\nexpect one.h < 4.5 \"half of what is left\"\n",
      {"--trials", "20000", "--format", "csv"});
  INFO(odds.out << odds.err);
  CHECK(odds.code == 0);
  const std::size_t at = odds.out.find("half of what is left,one.h < 4.5,") + 33;
  CHECK(std::stod(odds.out.substr(at)) == Approx(50).margin(1.5));
  const Run text = simulate(
      "kind k { a: ratio = 5 within 0 .. 10 as uniform, headline h: ratio = a\n  require a < 9 \"below nine\" }\nk "
      "one\n",
      {"--trials", "1000"});
  CHECK(has(text.out, "of them give no sound program and are left out of all that follows."));
}

TEST_CASE("quantiles and rank correlations are those of numpy and scipy on the samples written", "[study][simulate]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sums);
  folder.file("check.py",
              "import csv, numpy as np\nrows=list(csv.DictReader(open('s.csv')))\nv=np.array([float(r['w.sum']) for r "
              "in rows])\n"
              "e=np.array([float(r['expectation_1']) for r in rows])\n"
              "print(len(v), repr(float(v.mean())), repr(float(v.std(ddof=1))), repr(float(100*e.mean())))\n"
              "print(' '.join(f'{x:.6f}' for x in np.quantile(v,[.05,.1,.25,.5,.75,.9,.95])))\n");
  const Run run = run_in(folder.path(), {"simulate", "a.sprue", "--samples", "s.csv", "--trials", "5000"});
  REQUIRE(run.code == 0);
  const Run numpy = shell(folder.path(), "/usr/bin/python3 check.py");
  INFO(numpy.err << numpy.out << run.out);
  REQUIRE(numpy.code == 0);
  std::istringstream lines(numpy.out);
  std::string count;
  std::string mean;
  std::string deviation;
  std::string share;
  lines >> count >> mean >> deviation >> share;
  CHECK(count == "5000");
  CHECK(run_in(folder.path(), {"simulate", "a.sprue", "--trials", "5_000"}).out == run.out);
  CHECK(run_in(folder.path(), {"simulate", "a.sprue", "--trials", "100_000_000"}).code == 2);
  CHECK(has(run.out, fmt::format("{:.6f}", std::stod(mean))));
  CHECK(has(run.out, fmt::format("{:.6f}", std::stod(deviation))));
  CHECK(has(run.out, fmt::format("{:.2f}", std::stod(share))));
  for (std::string quantile; lines >> quantile;) CHECK(has(run.out, quantile));
}

TEST_CASE("Sobol indices of a program are those of its formula", "[study][simulate]") {
  // x + y with variances 1/12 and 4/12: 0.2 and 0.8; x * z would be shared, but z does not vary.
  const Run run = simulate(
      "kind k { a: ratio = 0.5 within 0 .. 1 as uniform, b: ratio = 1 within 0 .. 2 as uniform, headline h: ratio = a "
      "+ b }\nk one\n",
      {"--indices", "--trials", "20000", "--format", "csv"});
  INFO(run.out << run.err);
  std::smatch found;
  const std::regex row("one\\.([ab]),([-0-9.]+),([-0-9.]+),([-0-9.]+),([-0-9.]+),([-0-9.]+)");
  std::size_t rows = 0;
  for (auto at = std::sregex_iterator(run.out.begin(), run.out.end(), row); at != std::sregex_iterator();
       ++at, ++rows) {
    const double exact = (*at)[1] == "a" ? 0.2 : 0.8;
    CHECK(std::stod((*at)[3]) == Approx(exact).margin(0.03));
    CHECK(std::stod((*at)[5]) == Approx(exact).margin(0.03));
  }
  CHECK(rows == 2);
}

TEST_CASE("parts joined are what one run gives, however many, in any order, by GNU parallel, too",
          "[study][simulate]") {
  const TemporaryFolder folder;
  const std::string file = (source_dir() / "scenarios/herb_mill/herb_mill.sprue").string();
  for (const std::string scheme : {"random", "latin", "sobol"}) {
    const std::vector<std::string> common{"simulate", file,       "--trials", "1001",     "--seed",
                                          "9",        "--scheme", scheme,     "--format", "csv"};
    const auto with = [&](std::vector<std::string> more) {
      std::vector<std::string> all = common;
      all.insert(all.end(), more.begin(), more.end());
      return run_in(folder.path(), all);
    };
    const Run whole = with({});
    REQUIRE(whole.code == 0);
    for (const int parts : {1, 3, 8}) {
      std::vector<std::string> gather{"--gather"};
      for (int i = parts; i > 0; --i) {
        const std::string part = fmt::format("part{}", i);
        REQUIRE(with({"--shard", fmt::format("{}/{}", i, parts), "--out", part}).code == 0);
        gather.push_back(part);
      }
      const Run joined = with(gather);
      INFO(scheme << " " << parts << joined.err);
      CHECK(joined.out == whole.out);
    }
  }
  const Run parallel =
      shell(folder.path(),
            fmt::format("seq 4 | parallel --will-cite sprue simulate '{0}' --trials 400 --shard {{}}/4 --out p{{}} && "
                        "sprue simulate '{0}' --trials 400 --gather p1 p2 p3 p4 > joined && sprue simulate '{0}' "
                        "--trials 400 | cmp - joined",
                        file));
  INFO(parallel.err);
  CHECK(parallel.code == 0);
}

TEST_CASE("a Slurm array job gives what one run gives", "[study][simulate][slow]") {
  const TemporaryFolder folder;
  const std::string scenario = (source_dir() / "scenarios/slide_clamp/slide_clamp.sprue").string();
  const Run run = shell(folder.path(),
                        fmt::format("'{}' \"$PWD\" '{}'", (source_dir() / "tests/cluster/slurm").string(), scenario));
  INFO(run.out << run.err);
  if (run.code == 3) {
    skip("Slurm does not run on this machine, " + run.out.substr(0, run.out.find('\n')));
    CHECK(has(run.out, "not started: "));
  } else {
    CHECK(run.code == 0);
    CHECK(run.out == "same\n");
  }
}

TEST_CASE("parts that do not belong together are turned down", "[study][simulate]") {
  const TemporaryFolder folder;
  folder.file("a.sprue", sums);
  folder.file("b.sprue", std::regex_replace(sums, std::regex("5 \\+- 2"), "5 +- 3"));
  const auto run = [&](std::vector<std::string> options) {
    options.insert(options.begin(), "simulate");
    return run_in(folder.path(), options);
  };
  for (const std::string part : {"1", "2"})
    REQUIRE(run({"a.sprue", "--trials", "100", "--shard", part + "/2", "--out", "p" + part}).code == 0);
  CHECK(has(run({"a.sprue", "--trials", "100", "--gather", "p1"}).err, "no part has trial 51 of 100"));
  CHECK(
      has(run({"a.sprue", "--trials", "100", "--gather", "p1", "p1"}).err, "has trial 1, which another part has, too"));
  CHECK(has(run({"a.sprue", "--trials", "100", "--seed", "2", "--gather", "p1", "p2"}).err, "is of another program"));
  CHECK(has(run({"b.sprue", "--trials", "100", "--gather", "p1", "p2"}).err, "is of another program"));
  CHECK(has(run({"a.sprue", "--trials", "100", "--gather", "a.sprue"}).err, "is no part of a simulation"));
  const std::string part = read(folder.path() / "p2");
  folder.file("cut", part.substr(0, part.size() - 10));
  CHECK(has(run({"a.sprue", "--trials", "100", "--gather", "p1", "cut"}).err, "`cut` is damaged in line"));
  folder.file("long", part + "1 2 3\n");
  CHECK(has(run({"a.sprue", "--trials", "100", "--gather", "p1", "long"}).err, "has more lines than it should"));
  for (const std::string wrong : {"0/2", "3/2", "1", "1/", "a/b", "1/2x"})
    CHECK(run({"a.sprue", "--shard", wrong}).code == 2);
  CHECK(has(run({"a.sprue", "--shard", "1/2", "--indices"}).err, "--shard writes a part and nothing else"));
}

TEST_CASE("how much work a simulation is does not grow unnoticed", "[study][simulate][golden]") {
  std::string text;
  for (const std::string name : {"first", "herb_mill", "soil_probe", "trail_light", "slide_clamp"}) {
    const Run run = run_in(source_dir() / "scenarios", {"simulate", fmt::format("{0}/{0}.sprue", name), "--trials",
                                                        "1000", "--stats", "--format", "csv"});
    INFO(run.err);
    REQUIRE(run.code == 0);
    text += name + ": " + run.err;
  }
  CHECK(text == golden(source_dir() / "tests/study/work.expected", text));
}

TEST_CASE("a simulation without ranges says what to write", "[study][simulate]") {
  const Run run = simulate("kind k { headline a: ratio = 1 }\nk one\n", {});
  CHECK(run.code == 2);
  CHECK(has(run.err, "no input that a figure needs has a range"));
  for (const std::string format : {"text", "markdown", "csv", "html"})
    CHECK(simulate(sums, {"--trials", "500", "--format", format}).code == 0);
}
