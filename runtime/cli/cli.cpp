// The command line: its grammar and help. The only file that includes CLI11.
#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <iostream>

#include "lang/diagnostics/diagnostic.hpp"
#include "runtime/cli/commands.hpp"
#include "runtime/cli/workspace.hpp"

namespace sprue {
namespace {

constexpr const char* exit_codes =
    "Exit codes: 0 fine; 1 evaluated, and something it was asked to hold does not; 2 the input or the command line "
    "could not be used.";

}  // namespace

int run(int argc, const char* const* argv, Streams streams) {
  CLI::App app{"Compiles and evaluates cost scenarios of physical products.", "sprue"};
  app.set_version_flag("--version", SPRUE_VERSION);
  app.require_subcommand(1);
  app.footer(exit_codes);
  int result = exit_fine;

  CheckOptions check;
  CLI::App* check_command = app.add_subcommand("check", "Check files, evaluate them and test what they expect");
  check_command->add_option("files", check.files, "Source files")->required();
  check_command->add_option(
      "--scenario", check.scenarios,
      "Judge this scenario's expectations instead of the base's (repeatable; `base` is the file itself)");
  check_command->add_option("--figures", check.figures, "Compare the results with a figures file");
  check_command->callback([&] { result = run_check(check, streams); });

  ReportOptions report;
  CLI::App* report_command = app.add_subcommand("report", "The figures of one scenario as a document");
  report_command->add_option("file", report.file, "Source file")->required();
  report_command->add_option(
      "--scenario", report.scenarios,
      "Which scenario (default: the base); repeated: the first is reported, the others stand beside it");
  report_command->add_flag("--all-scenarios", report.all_scenarios, "The base and every scenario side by side");
  report_command->add_option("--audience", report.audience, "The views that an `audience` of the program names");
  report_command->add_option("--section", report.sections,
                             "Only this view, for example headlines, LEDGER.by_item or drivers (repeatable)");
  report_command->add_flag("--redact", report.redact, "Withhold amounts of single items and private columns");
  report_command->add_option("--format", report.format, "text, markdown, csv, json, html, svg or lines")
      ->transform(CLI::IsMember({"text", "markdown", "csv", "json", "html", "svg", "lines"}));
  report_command->add_option("--used-from", report.used_from,
                             "Folder in which the files it uses are found (default: that of the file)");
  report_command->add_option("--chart", report.chart, "With --format svg: which chart");
  report_command->add_option("--out", report.out, "Write to a file instead of standard output");
  report_command->callback([&] { result = run_report(report, streams); });

  CompareOptions compare;
  CLI::App* compare_command =
      app.add_subcommand("compare", "What differs between two versions, and what each change did to the figures");
  compare_command->add_option("before", compare.before, "[REVISION:]FILE[#SCENARIO]; a revision is one of git's")
      ->required();
  compare_command->add_option("after", compare.after, "The same; a side without a file takes the other's")->required();
  compare_command->add_option("--format", compare.format, "text, markdown, csv, json or html")
      ->transform(CLI::IsMember({"text", "markdown", "csv", "json", "html"}));
  compare_command->add_option("--out", compare.out, "Write to a file instead of standard output");
  compare_command->add_flag("--check", compare.check, "Exit with 1 where the versions differ");
  compare_command->callback([&] { result = run_compare(compare, streams); });

  const auto study_options = [](CLI::App* command, StudyOptions& study) {
    command->add_option("file", study.file, "Source file")->required();
    command->add_option("--scenario", study.scenario, "Which scenario (default: the base)");
    command->add_option("--figure", study.figures,
                        "A figure by its path, as for explain (repeatable; default: the first headlines)");
    command->add_option("--format", study.format, "text, markdown, csv, json or html")
        ->transform(CLI::IsMember({"text", "markdown", "csv", "json", "html"}));
    command->add_option("--out", study.out, "Write to a file instead of standard output");
  };
  // As in a source: 100_000.
  const auto plain_digits = [](std::string text) {
    text.erase(std::remove(text.begin(), text.end(), '_'), text.end());
    return text;
  };
  DriversOptions drivers;
  CLI::App* drivers_command = app.add_subcommand("drivers", "Which inputs move the figures, by slopes and by ranges");
  study_options(drivers_command, drivers.study);
  drivers_command->add_option("--most", drivers.most, "How many inputs to show")->check(CLI::Range(1, 100000));
  drivers_command->callback([&] { result = run_drivers(drivers, streams); });

  SweepOptions sweep;
  CLI::App* sweep_command = app.add_subcommand("sweep", "Figures over one or two inputs, as a table and a chart");
  study_options(sweep_command, sweep.study);
  sweep_command
      ->add_option("--vary", sweep.vary,
                   "PATH=VALUE,VALUE... or PATH=LOW..HIGH in N, or in N log for equal ratios (once or twice)")
      ->required();
  sweep_command->callback([&] { result = run_sweep(sweep, streams); });

  SolveOptions solve;
  CLI::App* solve_command = app.add_subcommand("solve", "The values of an input at which a condition turns");
  study_options(solve_command, solve.study);
  solve_command->add_option("--for", solve.input, "The input, by its path")->required();
  solve_command->add_option("--until", solve.until, "The condition, as after `expect`")->required();
  solve_command->add_option("--from", solve.from, "Look from this value on (default: the input's range)");
  solve_command->add_option("--to", solve.to, "Look up to this value");
  solve_command->callback([&] { result = run_solve(solve, streams); });

  SimulateOptions simulate;
  CLI::App* simulate_command =
      app.add_subcommand("simulate", "Many trials over the declared ranges: quantiles, odds, what drives the spread");
  study_options(simulate_command, simulate.study);
  simulate_command->add_option("--trials", simulate.trials, "How many trials")
      ->transform(plain_digits)
      ->check(CLI::Range(1, 10'000'000));
  simulate_command->add_option("--seed", simulate.seed, "The same seed gives the same trials")->transform(plain_digits);
  simulate_command->add_option("--scheme", simulate.scheme, "random, sobol or latin")
      ->transform(CLI::IsMember({"random", "sobol", "latin"}));
  simulate_command->add_flag("--indices", simulate.indices,
                             "Sobol indices, too: as many further simulations as there are inputs");
  simulate_command->add_option("--threads", simulate.threads, "How many (default: all); changes no result");
  simulate_command->add_option("--samples", simulate.samples, "Write every trial's figures to a CSV file");
  simulate_command->add_option("--shard", simulate.shard,
                               "Simulate part I of N and write it (with --out) for --gather");
  simulate_command->add_option("--gather", simulate.gather, "Join the parts in these files instead of simulating");
  simulate_command->add_flag("--stats", simulate.stats, "How much work it is, on standard error");
  simulate_command->callback([&] { result = run_simulate(simulate, streams); });

  ExplainOptions explain;
  CLI::App* explain_command =
      app.add_subcommand("explain", "How a figure comes about: formula, values, sources, places");
  explain_command->add_option("file", explain.file, "Source file")->required();
  explain_command
      ->add_option("path", explain.path,
                   "A field (NAME.field, NAME.CHILD.field), a ledger or one of its categories (LEDGER.category)")
      ->required();
  explain_command->add_option("--depth", explain.depth, "How many levels to open")->check(CLI::Range(0, 1000));
  explain_command->add_option("--scenario", explain.scenario, "Which scenario (default: the base)");
  explain_command->callback([&] { result = run_explain(explain, streams); });

  FormatOptions format;
  CLI::App* format_command = app.add_subcommand("format", "Rewrite files in canonical layout");
  format_command->add_option("files", format.files, "Source files")->required();
  format_command->add_flag("--check", format.check, "Write nothing; exit with 1 where a file would change");
  format_command->callback([&] { result = run_format(format, streams); });

  DescribeOptions describe;
  CLI::App* describe_command =
      app.add_subcommand("describe", "The standard library's reference, from its doc comments");
  describe_command->add_option("name", describe.name, "A module, kind, function or ledger (default: the index)");
  std::string describe_format = "text";
  describe_command->add_option("--format", describe_format, "text, or markdown for the whole reference")
      ->check(CLI::IsMember({"text", "markdown"}));
  describe_command->callback([&] {
    describe.markdown = describe_format == "markdown";
    result = run_describe(describe, streams);
  });

  CLI::App* serve_command =
      app.add_subcommand("serve", "A language server for editors, over standard input and output");
  serve_command->callback([&] { result = run_serve(std::cin, streams); });

  DumpOptions dump;
  CLI::App* dump_command = app.add_subcommand("dump", "What a stage of the compiler made of a file");
  dump_command->add_option("stage", dump.stage, "tree, model or graph")
      ->required()
      ->transform(CLI::IsMember({"tree", "model", "graph"}));
  dump_command->add_option("file", dump.file, "Source file")->required();
  dump_command->add_option("--scenario", dump.scenario, "Which scenario (default: the base)");
  dump_command->callback([&] { result = run_dump(dump, streams); });

  if (argc > 1 && argv[1][0] != '-') {
    std::vector<std::string> names;
    for (const CLI::App* command : app.get_subcommands({})) names.push_back(command->get_name());
    if (std::find(names.begin(), names.end(), argv[1]) == names.end()) {
      const std::string_view near = nearest(argv[1], {names.begin(), names.end()});
      complain(
          streams, fmt::format("there is no command `{}`", argv[1]), Code::bad_command,
          near.empty() ? fmt::format("commands: {}", fmt::join(names, ", ")) : fmt::format("did you mean `{}`?", near));
      return exit_unusable;
    }
  }
  try {
    app.parse(argc, argv);
  } catch (const CLI::Success& wanted) {
    return app.exit(wanted, streams.out, streams.err) == 0 ? exit_fine : exit_unusable;
  } catch (const CLI::ParseError& error) {
    complain(streams, error.what(), Code::bad_command, "see `sprue --help`");
    return exit_unusable;
  }
  return result;
}

}  // namespace sprue
