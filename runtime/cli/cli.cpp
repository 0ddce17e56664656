// The command line: its grammar and help. The only file that includes CLI11.
#include "runtime/cli/command_line.hpp"

#include <fmt/format.h>
#include <CLI/CLI.hpp>
#include <charconv>
#include <iostream>
#include <limits>

#include "lang/diagnostics/diagnostic.hpp"
#include "runtime/cli/workspace.hpp"
#include "sprue/version.hpp"

namespace sprue {
namespace {

/// Every command with its options, and what the one that was called returned.
struct Declared {
  explicit Declared(Streams where);

  Streams streams;
  CLI::App app{"Compiles and evaluates cost scenarios of physical products.", "sprue"};
  int result = exit_fine;

  CheckOptions check;
  ReportOptions report;
  CompareOptions compare;
  DriversOptions drivers;
  SweepOptions sweep;
  SolveOptions solve;
  SimulateOptions simulate;
  ExplainOptions explain;
  FormatOptions format;
  DescribeOptions describe;
  DumpOptions dump;
  std::string describe_format = "text";
  ManualOptions manual;
  CompletionOptions completion;
};

std::string footer(std::string_view command) {
  std::string text = "Exit codes:";
  for (const ExitCode& code : exit_codes_of(command))
    text += fmt::format("{} {} {}", code.code == exit_fine ? "" : ";", code.code, code.meaning);
  return text + ".";
}

Declared::Declared(Streams where) : streams(where) {
  app.set_version_flag("--version", SPRUE_VERSION, "Print the version and exit");
  app.require_subcommand(1);
  app.footer(footer({}));

  CLI::App* check_command = app.add_subcommand("check", "Check files, evaluate them and test what they expect");
  check_command->add_option("files", check.files, "Source files")->type_name(value_file)->required();
  check_command
      ->add_option("--scenario", check.scenarios,
                   "Judge this scenario's expectations instead of the base's (repeatable; `base` is the file itself)")
      ->type_name("NAME");
  check_command->add_option("--figures", check.figures, "Compare the results with a figures file")
      ->type_name(value_file);
  check_command
      ->add_option("--format", check.format,
                   "How diagnostics are written: text, jsonl (one JSON object a line) or sarif (SARIF 2.1.0)")
      ->transform(CLI::IsMember({"text", "jsonl", "sarif"}));
  check_command->add_flag("--fix", check.fix, "First mend in place what leaves no choice of meaning");
  check_command->callback([&] { result = run_check(check, streams); });

  const auto width_option = [](CLI::App* command, unsigned& width) {
    command->add_option("--width", width, "Characters a line of a text may take (default: the terminal's, else 80)")
        ->type_name("N")
        ->check(CLI::Range(narrowest_text, 100000U));
  };
  CLI::App* report_command = app.add_subcommand("report", "The figures of one scenario as a document");
  report_command->add_option("file", report.file, "Source file")->type_name(value_file)->required();
  report_command
      ->add_option("--scenario", report.scenarios,
                   "Which scenario (default: the base); repeated: the first is reported, the others stand beside it")
      ->type_name("NAME");
  report_command->add_flag("--all-scenarios", report.all_scenarios, "The base and every scenario side by side");
  report_command->add_option("--audience", report.audience, "The views that an `audience` of the program names")
      ->type_name("NAME");
  report_command
      ->add_option("--section", report.sections,
                   "Only this view, for example headlines, LEDGER.by_item or drivers (repeatable)")
      ->type_name("VIEW");
  report_command->add_flag("--all", report.all,
                           "Every view as text or Markdown, not the audience `brief` that the program declares");
  report_command->add_flag("--redact", report.redact, "Withhold amounts of single items and private columns");
  report_command->add_option("--format", report.format, "How it is written")
      ->transform(CLI::IsMember({"text", "markdown", "csv", "json", "html", "svg", "lines"}))
      ->capture_default_str();
  report_command
      ->add_option("--used-from", report.used_from,
                   "Folder in which the files it uses are found (default: that of the file)")
      ->type_name(value_folder);
  report_command->add_option("--chart", report.chart, "With --format svg: which chart")->type_name("NAME");
  report_command->add_option("--out", report.out, "Write to a file instead of standard output")->type_name(value_file);
  width_option(report_command, report.width);
  report_command->callback([&] { result = run_report(report, streams); });

  CLI::App* compare_command =
      app.add_subcommand("compare", "What differs between two versions, and what each change did to the figures");
  compare_command
      ->add_option("before", compare.before,
                   "[REVISION:]FILE[#SCENARIO]; a revision is one of git's, and :FILE is what is staged")
      ->type_name(value_version)
      ->required();
  compare_command->add_option("after", compare.after, "The same; a side without a file takes the other's")
      ->type_name(value_version)
      ->required();
  compare_command->add_option("--format", compare.format, "How it is written")
      ->transform(CLI::IsMember({"text", "markdown", "csv", "json", "html"}))
      ->capture_default_str();
  compare_command->add_option("--out", compare.out, "Write to a file instead of standard output")
      ->type_name(value_file);
  compare_command->add_flag("--check", compare.check, "Exit with 1 where the versions differ");
  compare_command->add_flag("--all", compare.all, "Every figure, walk and ledger as text or Markdown");
  width_option(compare_command, compare.width);
  compare_command->callback([&] { result = run_compare(compare, streams); });

  const auto study_options = [&](CLI::App* command, StudyOptions& study) {
    command->add_option("file", study.file, "Source file")->type_name(value_file)->required();
    command->add_option("--scenario", study.scenario, "Which scenario (default: the base)")->type_name("NAME");
    command
        ->add_option("--figure", study.figures,
                     "A figure by its path, as for explain (repeatable; default: the first headlines)")
        ->type_name("PATH");
    command->add_option("--format", study.format, "How it is written")
        ->transform(CLI::IsMember({"text", "markdown", "csv", "json", "html"}))
        ->capture_default_str();
    command->add_option("--out", study.out, "Write to a file instead of standard output")->type_name(value_file);
    width_option(command, study.width);
  };
  // As in a source: 100_000.
  const auto plain_digits = [](std::string text) {
    text.erase(std::remove(text.begin(), text.end(), '_'), text.end());
    return text;
  };
  const auto whole_number = [](const std::string& text) {
    std::uint64_t value = 0;
    const auto read = std::from_chars(text.data(), text.data() + text.size(), value);
    return read.ec == std::errc{} && read.ptr == text.data() + text.size()
               ? std::string()
               : fmt::format("`{}` is no whole number from 0 to {}", text, std::numeric_limits<std::uint64_t>::max());
  };
  CLI::App* drivers_command =
      app.add_subcommand("drivers", "Which inputs move the figures: by one per cent, and at the ends of their ranges");
  study_options(drivers_command, drivers.study);
  drivers_command->add_option("--most", drivers.most, "How many inputs to show")
      ->capture_default_str()
      ->type_name("N")
      ->check(CLI::Range(1, 100000));
  drivers_command->add_flag("--defaults", drivers.defaults,
                            "Try the defaults of the library, too, not only what somebody stated");
  drivers_command->callback([&] { result = run_drivers(drivers, streams); });

  CLI::App* sweep_command = app.add_subcommand("sweep", "Figures over one or two inputs, as a table and a chart");
  study_options(sweep_command, sweep.study);
  sweep_command
      ->add_option("--vary", sweep.vary,
                   "PATH=VALUE,VALUE... or PATH=LOW..HIGH in N, or in N log for equal ratios (once or twice)")
      ->type_name("VALUES")
      ->required();
  sweep_command->callback([&] { result = run_sweep(sweep, streams); });

  CLI::App* solve_command = app.add_subcommand("solve", "The values of an input at which a condition turns");
  study_options(solve_command, solve.study);
  solve_command->add_option("--for", solve.input, "The input, by its path")->type_name("PATH")->required();
  solve_command->add_option("--until", solve.until, "The condition, as after `expect`")
      ->type_name("CONDITION")
      ->required();
  solve_command->add_option("--from", solve.from, "Look from this value on (default: the input's range)")
      ->type_name("VALUE");
  solve_command->add_option("--to", solve.to, "Look up to this value")->type_name("VALUE");
  solve_command->callback([&] { result = run_solve(solve, streams); });

  CLI::App* simulate_command =
      app.add_subcommand("simulate", "Many trials over the declared ranges: quantiles, odds, what drives the spread");
  study_options(simulate_command, simulate.study);
  simulate_command->add_option("--trials", simulate.trials, "How many trials")
      ->capture_default_str()
      ->type_name("N")
      ->transform(plain_digits)
      ->check(CLI::Range(std::size_t{1}, limits::trials));
  simulate_command->add_option("--seed", simulate.seed, "The same seed gives the same trials")
      ->capture_default_str()
      ->type_name("N")
      ->transform(plain_digits)
      ->check(whole_number);
  simulate_command->add_option("--scheme", simulate.scheme, "How the trials are spread over the ranges")
      ->transform(CLI::IsMember({"random", "sobol", "latin"}))
      ->capture_default_str();
  simulate_command->add_flag("--indices", simulate.indices,
                             "Sobol indices, too: as many further simulations as there are inputs");
  simulate_command->add_option("--threads", simulate.threads, "How many (default: all); changes no result")
      ->type_name("N")
      ->check(CLI::Range(0, 1024));
  simulate_command->add_option("--samples", simulate.samples, "Write every trial's figures to a CSV file")
      ->type_name(value_file);
  simulate_command->add_option("--shard", simulate.shard, "Simulate part I of N and write it (with --out) for --gather")
      ->type_name("I/N");
  simulate_command->add_option("--gather", simulate.gather, "Join the parts in these files instead of simulating")
      ->type_name(value_file);
  simulate_command->add_flag("--stats", simulate.stats, "How much work it is, on standard error");
  simulate_command->callback([&, simulate_command] {
    simulate.given = {simulate_command->count("--trials") > 0, simulate_command->count("--seed") > 0,
                      simulate_command->count("--scheme") > 0};
    result = run_simulate(simulate, streams);
  });

  CLI::App* explain_command =
      app.add_subcommand("explain", "How a figure comes about: formula, values, sources, places");
  explain_command->add_option("file", explain.file, "Source file")->type_name(value_file)->required();
  explain_command
      ->add_option("path", explain.path,
                   "A field (NAME.field, NAME.CHILD.field), a ledger or one of its categories (LEDGER.category)")
      ->type_name("PATH")
      ->required();
  explain_command->add_option("--depth", explain.depth, "How many levels to open")
      ->capture_default_str()
      ->type_name("N")
      ->check(CLI::Range(0, 1000));
  explain_command->add_option("--scenario", explain.scenario, "Which scenario (default: the base)")->type_name("NAME");
  explain_command->callback([&] { result = run_explain(explain, streams); });

  CLI::App* format_command = app.add_subcommand("format", "Rewrite files in canonical layout");
  format_command->add_option("files", format.files, "Source files")->type_name(value_file)->required();
  format_command->add_flag("--check", format.check, "Write nothing; exit with 1 where a file would change");
  format_command->callback([&] { result = run_format(format, streams); });

  CLI::App* describe_command =
      app.add_subcommand("describe", "The standard library's reference, from its doc comments");
  describe_command->add_option("name", describe.name, "A module, kind, function or ledger (default: the index)")
      ->type_name("NAME");
  describe_command
      ->add_option("--format", describe_format, "How it is written; without a name markdown is the whole reference")
      ->check(CLI::IsMember({"text", "markdown"}))
      ->capture_default_str();
  describe_command->callback([&] {
    describe.markdown = describe_format == "markdown";
    result = run_describe(describe, streams);
  });

  CLI::App* serve_command =
      app.add_subcommand("serve", "A language server for editors, over standard input and output");
  serve_command->footer(footer("serve"));
  serve_command->callback([&] { result = run_serve(std::cin, streams); });

  CLI::App* dump_command = app.add_subcommand("dump", "What a stage of the compiler made of a file");
  dump_command->add_option("stage", dump.stage, "Which stage")
      ->type_name("STAGE")
      ->required()
      ->transform(CLI::IsMember({"tree", "model", "graph"}));
  dump_command->add_option("file", dump.file, "Source file")->type_name(value_file)->required();
  dump_command->add_option("--scenario", dump.scenario, "Which scenario (default: the base)")->type_name("NAME");
  dump_command->callback([&] { result = run_dump(dump, streams); });

  // Called by the build; an empty group keeps them out of the help.
  CLI::App* manual_command = app.add_subcommand("manual", "The manual page of the program or of a command")->group("");
  manual_command->add_option("command", manual.command, "Which command (default: the program itself)");
  manual_command->add_option("--out", manual.out, "Write every page into this folder")->type_name(value_folder);
  manual_command->callback([&] { result = run_manual(manual, streams); });

  CLI::App* completion_command = app.add_subcommand("completion", "The completions of a shell")->group("");
  completion_command->add_option("shell", completion.shell, "Which shell")
      ->required()
      ->transform(CLI::IsMember({"bash", "zsh", "fish"}));
  completion_command->add_option("--out", completion.out, "Write to a file instead of standard output")
      ->type_name(value_file);
  completion_command->callback([&] { result = run_completion(completion, streams); });
}

ArgumentWords words_of(const CLI::Option& option) {
  ArgumentWords words;
  words.positional = option.get_positional();
  if (words.positional) words.names.push_back(option.get_single_name());
  for (const std::string& name : option.get_snames()) words.names.push_back("-" + name);
  for (const std::string& name : option.get_lnames()) words.names.push_back("--" + name);
  words.description = option.get_description();
  words.required = option.get_required();
  if (option.get_items_expected_max() == 0) return words;
  words.repeated = option.get_items_expected_max() > 1;
  words.standard = option.get_default_str();
  // "TEXT:{text,json}": the type, then what each validator says.
  const std::string type = option.get_type_name();
  words.value = type.substr(0, type.find(':'));
  const std::size_t open = type.find('{');
  if (open == std::string::npos) return words;
  words.choices = CLI::detail::split(type.substr(open + 1, type.find('}') - open - 1), ',');
  return words;
}

CommandWords words_of(const CLI::App& app) {
  CommandWords words{app.get_parent() == nullptr ? std::string() : app.get_name(), app.get_description(), {}};
  for (const CLI::Option* option : app.get_options()) words.arguments.push_back(words_of(*option));
  return words;
}

std::vector<CLI::App*> shown_commands(CLI::App& app) {
  return app.get_subcommands([](CLI::App* command) { return !command->get_group().empty(); });
}

}  // namespace

std::vector<CommandWords> command_line() {
  std::ostringstream nowhere;
  Declared declared({nowhere, nowhere});
  std::vector<CommandWords> commands{words_of(std::as_const(declared.app))};
  for (const CLI::App* command : shown_commands(declared.app)) commands.push_back(words_of(*command));
  return commands;
}

int run(int argc, const char* const* argv, Streams streams) {
  Declared declared(streams);
  CLI::App& app = declared.app;
  if (argc > 1 && argv[1][0] != '-') {
    std::vector<std::string> names;
    for (const CLI::App* command : shown_commands(app)) names.push_back(command->get_name());
    if (app.get_subcommands([&](CLI::App* command) { return command->check_name(argv[1]); }).empty()) {
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
  return declared.result;
}

}  // namespace sprue
