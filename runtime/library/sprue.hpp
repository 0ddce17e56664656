// The library: programs loaded from a file or a text, scenarios evaluated, figures read, documents written. Described
// with an example in docs/library.md. Nothing else of sprue's sources is installed or promised.
//
// One program, its copies and its evaluations are for one thread at a time; different programs do not touch each other
// and may be used from different threads. A program or evaluation that was moved from may only be destroyed or assigned
// to.
#pragma once

#include <functional>
#include <memory>
#include <optional>
#include <stdexcept>
#include <string>
#include <utility>
#include <vector>

namespace sprue::api {

/// What cannot be done as asked: a file that cannot be read, a name that nothing has, figures of an unsound evaluation.
/// what() says what is wrong and what to write instead. What is wrong inside a source throws nothing; see
/// diagnostics().
class Error : public std::runtime_error {
 public:
  using std::runtime_error::runtime_error;
};

/// "0.1.0": of the library that is linked; sprue/version.hpp has that of the headers.
std::string version();

/// The text of a source that another one uses, or nothing where there is none. The path is that of the using source
/// joined with what it says: "parts/b.sprue". Modules of the standard library are never asked for. What a loader throws
/// passes through the call that asked it: Program::from_text, and Program::evaluate with inputs.
using Loader = std::function<std::optional<std::string>(const std::string& path)>;

/// A figure as reports show it.
struct Figure {
  enum class State {
    known,
    incomplete,  // a number, with something left out of it that is unknown
    unknown,     // no number; `value` is 0
  };

  std::string path;  // "plan.price", "LEDGER.CATEGORY"
  double value = 0;  // in `unit`; of a date days since 1970-01-01; of a flag 1 or 0; of other words 0
  std::string unit;  // "EUR/unit"; empty for ratios and what is no quantity
  std::string text;  // rounded, with its unit: "0.1525 EUR/unit", "2026-10-05", "yes", "unknown"
  State state = State::known;
};

enum class Format { text, markdown, csv, json, html };

/// One scenario with its figures. Cheap to copy; keeps what it needs of its program.
class Evaluation {
 public:
  /// Whether there are figures. If not, diagnostics() says why, and asking for figures or documents throws Error.
  bool sound() const;
  /// Whether it is sound and every expectation of the scenario holds.
  bool holds() const;
  /// What `sprue check` says of the source and of this scenario; empty where there is nothing to say.
  std::string diagnostics() const;

  /// Every headline, ledger total and cell of a listing, sorted by path: what `report --format lines` shows.
  std::vector<Figure> figures() const;
  /// By its path, as for `sprue explain`: any ledger or category, and any field that is a quantity, a date or another
  /// point, a flag, a choice or a whole number; texts, references, series, tables and curves throw Error. Fields that
  /// no output needs are evaluated now.
  Figure figure(const std::string& path) const;

  /// The bytes of `sprue report --all`.
  std::string report(Format format) const;

 private:
  friend class Program;
  friend std::string compare(const Evaluation& before, const Evaluation& after, Format format);
  struct State;
  explicit Evaluation(std::shared_ptr<const State> state) : state_(std::move(state)) {}
  std::shared_ptr<const State> state_;
};

/// The bytes of `sprue compare --all`: what differs, and what each change did to the figures. Both must be sound.
std::string compare(const Evaluation& before, const Evaluation& after, Format format);

/// A path and what stands there instead, both as in a `scenario` of the language: {"plan.volume", "12_000 unit"}. The
/// value has its unit; exchange rates are "exchange.USD".
using Input = std::pair<std::string, std::string>;

/// A checked source and all it uses. Cheap to copy.
class Program {
 public:
  /// From a file; what it uses is found beside it and stays inside its project.
  static Program from_file(const std::string& path);
  /// From a text; `name` is what diagnostics call it, and where paths that it uses start.
  static Program from_text(std::string name, std::string text, Loader loader = {});

  /// Whether it can be evaluated. If not, diagnostics() says why.
  bool sound() const;
  /// What `sprue check` says of the source, before any scenario is evaluated.
  std::string diagnostics() const;
  /// The names of its scenarios, in the order written.
  std::vector<std::string> scenarios() const;

  /// A scenario by its name, or the base where it is empty or "base", with inputs changed besides. A mistake in an
  /// input is a diagnostic of the evaluation, at a place in the source "changed inputs", and so is an input that says
  /// more than one path and one value; an unsound program gives an unsound evaluation.
  Evaluation evaluate(const std::string& scenario = {}, const std::vector<Input>& inputs = {}) const;

 private:
  struct State;
  explicit Program(std::shared_ptr<const State> state) : state_(std::move(state)) {}
  std::shared_ptr<const State> state_;
};

}  // namespace sprue::api
