// The commands. Each returns its exit code: 0 fine; 1 evaluated, and something it was asked to hold does not; 2 the
// input or the command line could not be used. Results go to `out`, diagnostics to `err`.
#pragma once

#include <cstdint>
#include <istream>
#include <ostream>
#include <string>
#include <vector>

namespace sprue {

inline constexpr int exit_fine = 0;
inline constexpr int exit_does_not_hold = 1;
inline constexpr int exit_unusable = 2;

inline constexpr unsigned narrowest_text = 40;

struct Streams {
  std::ostream& out;
  std::ostream& err;
  bool color = false;     // of diagnostics
  bool progress = false;  // of long runs, on `err`
  unsigned width = 0;     // of the terminal that `out` is; 0: it is none
};

struct CheckOptions {
  std::vector<std::string> files;
  std::vector<std::string> scenarios;
  std::string figures;
  std::string format = "text";  // of the diagnostics: text on `err`, or jsonl or sarif on `out`
  bool fix = false;
};
int run_check(const CheckOptions& options, Streams streams);

struct ReportOptions {
  std::string file;
  std::vector<std::string> scenarios;  // the first is reported, the others stand beside it
  bool all_scenarios = false;          // the base first
  std::string format = "text";
  std::string out;
  std::string audience;
  std::vector<std::string> sections;
  bool all = false;    // every view, not the program's audience `brief`
  unsigned width = 0;  // of a text; 0: the terminal's
  bool redact = false;
  std::string chart;      // of format svg
  std::string used_from;  // folder that `use` starts from, instead of the file's own
};
int run_report(const ReportOptions& options, Streams streams);

struct CompareOptions {
  std::string before;  // [REVISION:]FILE[#SCENARIO]
  std::string after;
  std::string format = "text";
  std::string out;
  bool check = false;
  bool all = false;    // not the main points alone
  unsigned width = 0;  // of a text; 0: the terminal's
};
int run_compare(const CompareOptions& options, Streams streams);

/// What every study takes.
struct StudyOptions {
  std::string file;
  std::string scenario;
  std::vector<std::string> figures;  // paths; empty: the leading headlines
  std::string format = "text";
  std::string out;
  unsigned width = 0;  // of a text; 0: the terminal's
};

struct DriversOptions {
  StudyOptions study;
  std::size_t most = 15;
  bool defaults = false;  // of the library, too
};
int run_drivers(const DriversOptions& options, Streams streams);

struct SweepOptions {
  StudyOptions study;
  std::vector<std::string> vary;  // PATH=VALUES, one or two
};
int run_sweep(const SweepOptions& options, Streams streams);

struct SolveOptions {
  StudyOptions study;
  std::string input;
  std::string until;
  std::string from, to;  // where to look
};
int run_solve(const SolveOptions& options, Streams streams);

struct SimulateOptions {
  StudyOptions study;
  std::uint64_t trials = 10'000;
  std::uint64_t seed = 1;
  std::string scheme = "random";  // random, sobol, latin
  bool indices = false;
  unsigned threads = 0;
  std::string samples;  // a CSV file
  std::string shard;    // I/N
  std::vector<std::string> gather;
  bool stats = false;
  /// Which of the above the command line says; a gathered simulation takes the others from its parts.
  struct {
    bool trials = false, seed = false, scheme = false;
  } given = {};
};
int run_simulate(const SimulateOptions& options, Streams streams);

struct ExplainOptions {
  std::string file;
  std::string path;
  std::string scenario;
  int depth = 1;
};
int run_explain(const ExplainOptions& options, Streams streams);

struct FormatOptions {
  std::vector<std::string> files;
  bool check = false;
};
int run_format(const FormatOptions& options, Streams streams);

struct DescribeOptions {
  std::string name;
  bool markdown = false;  // the whole reference, where no name is given
};
int run_describe(const DescribeOptions& options, Streams streams);

struct DumpOptions {
  std::string stage;  // tree, model, graph
  std::string file;
  std::string scenario;
};
int run_dump(const DumpOptions& options, Streams streams);

struct ManualOptions {
  std::string command;  // empty: the program itself
  std::string out;      // a folder: every page goes there
};
int run_manual(const ManualOptions& options, Streams streams);

struct CompletionOptions {
  std::string shell;  // bash, zsh, fish
  std::string out;
};
int run_completion(const CompletionOptions& options, Streams streams);

/// Speaks the Language Server Protocol until its client says `exit`.
int run_serve(std::istream& in, Streams streams);

/// The whole command line; what main() calls.
int run(int argc, const char* const* argv, Streams streams);

}  // namespace sprue
