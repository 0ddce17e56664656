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
    REQUIRE(sampler.tie(ties.ties) == TieResult::fine);
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
  const std::string added = sums + "part m { a: 1 within 0 .. 2 }\n";
  CHECK(Sampled(sums, Scheme::latin).input(0) == Sampled(added, Scheme::latin).input(1));
  // Of Sobol's points each input takes the coordinate of its place by path: what comes before stays, what follows does
  // not. The study says so, and the others have nothing to say.
  CHECK(Sampled(sums, Scheme::sobol).input(0) != Sampled(added, Scheme::sobol).input(1));
  CHECK(Sampled(sums, Scheme::sobol).input(0) ==
        Sampled(sums + "part xx { a: 1 within 0 .. 2 }\n", Scheme::sobol).input(0));
  const std::string note = "an input more or less changes what those after it draw";
  CHECK(has(simulate(sums, {"--scheme", "sobol", "--trials", "64", "--format", "json"}).out, note));
  CHECK_FALSE(has(simulate(sums, {"--scheme", "latin", "--trials", "64", "--format", "json"}).out, note));
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

TEST_CASE("correlations are factored with no more work than their structure takes", "[study][simulate]") {
  // R = L L', worked out element by element; what is not declared is nothing.
  const auto sampler_of = [](std::size_t inputs) {
    std::vector<SampledInput> sampled(inputs);
    for (std::size_t i = 0; i < inputs; ++i) {
      sampled[i].path = fmt::format("p{:05}.a", i);
      sampled[i].distribution = {Shape::uniform, 0, 0.5, 1};
    }
    return Sampler(sampled, 1, Scheme::random, 1);
  };
  const auto rows_of = [](const Sampler& sampler, std::size_t inputs) {
    std::vector<std::vector<double>> rows(inputs, std::vector<double>(inputs, 0));
    std::istringstream in(sampler.tied_text());
    std::size_t i = 0;
    std::size_t k = 0;
    double weight = 0;
    for (char end = 0; in >> i >> k >> weight >> end;) rows[i][k] = weight;
    return rows;
  };
  const std::size_t n = 40;
  std::vector<Tie> ties;
  std::vector<std::vector<double>> wanted(n, std::vector<double>(n, 0));
  for (std::size_t i = 0; i < n; ++i) {
    wanted[i][i] = 1;
    for (const std::size_t other : {(7 * i + 3) % n, (11 * i + 20) % n}) {
      if (other == i || wanted[i][other] != 0) continue;
      const double rank = 0.02 * static_cast<double>(i % 5) - 0.05;
      ties.push_back({i, other, rank});
      wanted[i][other] = wanted[other][i] = 2 * std::sin(std::acos(-1.0) / 6 * rank);
    }
  }
  Sampler some = sampler_of(n);
  REQUIRE(some.tie(ties) == TieResult::fine);
  const auto rows = rows_of(some, n);
  for (std::size_t i = 0; i < n; ++i) {
    for (std::size_t k = 0; k < n; ++k) {
      double sum = 0;
      for (std::size_t j = 0; j < n; ++j) sum += rows[i][j] * rows[k][j];
      CHECK(sum == Approx(wanted[i][k]).margin(1e-12));
    }
  }
  // A chain through inputs in another order than their paths': three weights an input at most, however long it is.
  const std::size_t length = 9001;
  std::vector<Tie> chain;
  for (std::size_t i = 1; i < length; ++i) chain.push_back({(i - 1) * 1009 % length, i * 1009 % length, 0.4});
  Sampler long_chain = sampler_of(length);
  REQUIRE(long_chain.tie(chain) == TieResult::fine);
  const std::string text = long_chain.tied_text();
  CHECK(static_cast<std::size_t>(std::count(text.begin(), text.end(), ';')) <= 3 * length);
  // One input with all others: every two of them must be worked out against each other.
  std::vector<Tie> star;
  for (std::size_t i = 1; i < 4000; ++i) star.push_back({0, i, 0.001});
  CHECK(sampler_of(4000).tie(star) == TieResult::too_many);
}

TEST_CASE("what a simulation would hold is bounded, and the message says by what it is made up", "[study][simulate]") {
  std::string text = "kind tot { p: ratio";
  std::vector<std::string> figures;
  for (int i = 0; i < 900; ++i) {
    text += fmt::format(", headline h{0}: ratio = p * {0}", i);
    figures.insert(figures.end(), {"--figure", fmt::format("t.h{}", i)});
  }
  text += " }\ntot t { p: 1 within 0.5 .. 2 }\nexpect t.h1 > 0 \"above zero\"\n";
  const auto with = [&](std::vector<std::string> more) {
    std::vector<std::string> all = figures;
    all.insert(all.end(), more.begin(), more.end());
    return simulate(text, all);
  };
  const Run large = with({"--trials", "1_000_000"});
  CHECK(large.code == 2);
  CHECK(has(large.err, "1000000 trials of 901 figures and expectations are 901000000 values to hold, more than"));
  CHECK(has(large.err, "at most 110987 trials of so many"));  // 100,000,000 / 901
  CHECK(has(with({"--trials", "110988"}).err, "more than"));
  CHECK(has(with({"--trials", "40_000", "--indices"}).err, "leave out --indices"));
  CHECK(has(with({"--trials", "40_000", "--samples", "s.csv"}).err, "leave out --samples"));
  CHECK(has(with({"--trials", "80_000", "--shard", "1/2"}).err, "make more parts"));
  CHECK(with({"--trials", "100", "--format", "csv"}).code == 0);
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
  // Nine in ten of 20,000 trials are sound; the standard error of a share p is sqrt(p (1 - p) / n), about 0.37%.
  const double error = std::stod(odds.out.substr(odds.out.find(',', at) + 1));
  CHECK(error == Approx(100 * std::sqrt(0.25 / 18000)).margin(0.006));
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
      // The parts know the rest.
      gather.insert(gather.begin(), {"simulate", file, "--format", "csv"});
      CHECK(run_in(folder.path(), gather).out == whole.out);
    }
  }
  const Run parallel =
      shell(folder.path(),
            fmt::format("seq 4 | parallel --will-cite sprue simulate '{0}' --trials 400 --shard {{}}/4 --out p{{}} && "
                        "sprue simulate '{0}' --gather p1 p2 p3 p4 > joined && sprue simulate '{0}' "
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
  for (const auto& [option, value, had] : {std::tuple{"--trials", "200", "100"},
                                           {"--seed", "2", "1"},
                                           {"--scheme", "latin", "random"},
                                           {"--scenario", "more", "base"},
                                           {"--figure", "w.sum", "w.sum"}}) {
    const Run said = run({"a.sprue", option, value, "--gather", "p1", "p2"});
    INFO(said.err);
    if (std::string(value) == had) {
      CHECK(said.code == 0);
      continue;
    }
    CHECK(said.code == 2);
    CHECK(has(said.err, fmt::format("`p1` has {} {}, and the command line says {}", option, had, value)));
  }
  REQUIRE(run({"a.sprue", "--trials", "100", "--seed", "2", "--shard", "2/2", "--out", "q2"}).code == 0);
  CHECK(has(run({"a.sprue", "--gather", "p1", "q2"}).err, "`q2` has seed 2, not 1"));
  // Figures that were asked for, and a scenario, are in the parts, too.
  folder.file("s.sprue", sums + "scenario more { x.a: 14 within 10 .. 20 }\n");
  const std::vector<std::string> asked{"s.sprue",    "--figure", "x.a",      "--figure", "w.sum",
                                       "--scenario", "more",     "--trials", "50"};
  const Run whole = run(asked);
  REQUIRE(whole.code == 0);
  std::vector<std::string> shard = asked;
  shard.insert(shard.end(), {"--shard", "1/1", "--out", "s1"});
  REQUIRE(run(shard).code == 0);
  CHECK(run({"s.sprue", "--gather", "s1"}).out == whole.out);
  // Only the high end of one range is another: other trials.
  folder.file("c.sprue", std::regex_replace(sums, std::regex("10 \\.\\. 20"), "10 .. 21"));
  CHECK(has(run({"c.sprue", "--gather", "p1", "p2"}).err, "is of another program"));
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
