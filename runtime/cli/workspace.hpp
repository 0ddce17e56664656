// One file read, checked and, if asked, evaluated, with its diagnostics kept to be printed once.
#pragma once

#include <optional>
#include <string>

#include "lang/check/check.hpp"
#include "lang/diagnostics/diagnostic.hpp"
#include "runtime/cli/commands.hpp"
#include "runtime/ledger/evaluation.hpp"

namespace sprue {

struct Workspace {
  Sources sources;
  Diagnostics diagnostics;
  Program program;
  SourceId main = 0;
  bool readable = false;

  /// Reads and checks. What is wrong is in `diagnostics`; an unreadable file is reported on `streams.err` at once.
  /// Files it uses are found as if it stood in the folder `used_from`, where one is given. `statement` is one more
  /// statement, in a source of its own, which is then the main one.
  void open(const std::string& file, Streams streams, const std::string& used_from = {},
            const std::string& statement = {});
  /// The same with a text that is at hand. `statement_name` is what diagnostics call the source of the statement.
  void open_text(std::string name, std::string text, const Loader& loader, const std::string& statement = {},
                 const std::string& statement_name = "command line");
  /// Index of a scenario by name; none for "" and "base". Nothing where there is none of the name; `help` then says
  /// what to write instead.
  std::optional<std::uint32_t> find_scenario(const std::string& name, std::string& help) const;
  /// The same, reported.
  std::optional<std::uint32_t> scenario(const std::string& name, Streams streams) const;
  /// Opens a file whose program must be sound and finds the scenario in it; else says what is wrong and returns
  /// nothing.
  std::optional<std::uint32_t> open_scenario(const std::string& file, const std::string& name, Streams streams,
                                             const std::string& used_from = {}, const std::string& statement = {});
  void print_diagnostics(Streams streams);
  /// Gives back the room of the syntax trees, for what needs no more than the checked program: no doc comments, no
  /// pieces.
  void forget_trees() { program.trees.clear(); }
};

/// The text of a file; nothing, and why on `err`, where it cannot be read.
std::optional<std::string> read_or_complain(const std::string& file, Streams streams);

/// `error: …` and `help: …` lines for what has no place in a source.
void complain(Streams streams, std::string_view message, Code code, std::string_view help = {});

}  // namespace sprue
