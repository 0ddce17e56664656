// Manual pages read by groff and mandoc, completions by the shells themselves; both against what --help says, which
// comes from another place.
#include <fmt/format.h>
#include <map>
#include <regex>
#include <set>
#include <sstream>

#include "runtime/cli/examples.hpp"
#include "tests/catch.hpp"
#include "tests/support/repository.hpp"

using namespace sprue::testing;

namespace {

using Words = std::set<std::string>;

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> lines;
  std::istringstream in(text);
  for (std::string line; std::getline(in, line);) lines.push_back(line);
  return lines;
}

Words words_of(const std::string& text, char between) {
  Words words;
  std::istringstream in(text);
  for (std::string word; std::getline(in, word, between);) {
    if (!word.empty()) words.insert(word);
  }
  return words;
}

/// Every long option of a help text, each with the values it lists.
std::map<std::string, Words> options_of(const std::string& help) {
  static const std::regex row(R"(  (?:-\w,)?(--[a-z-]+)(?: \w+:\{([^}]*)\})?.*)");
  std::map<std::string, Words> options;
  std::smatch match;
  for (const std::string& line : lines_of(help)) {
    if (std::regex_match(line, match, row)) options[match[1]] = words_of(match[2], ',');
  }
  return options;
}

template <typename Value>
Words keys_of(const std::map<std::string, Value>& map) {
  Words keys;
  for (const auto& [key, value] : map) keys.insert(key);
  return keys;
}

/// The commands of the help, each with its own.
std::map<std::string, std::string> helps() {
  const std::string all = run_in(".", {"--help"}).out;
  std::map<std::string, std::string> helps;
  for (const std::string& line : lines_of(all.substr(all.find("Subcommands:\n")))) {
    if (!line.starts_with("  ")) continue;
    const std::string name = line.substr(2, line.find(' ', 2) - 2);
    helps[name] = run_in(".", {name, "--help"}).out;
  }
  REQUIRE(helps.size() > 10);
  return helps;
}

/// The options that a formatted page describes.
Words options_of_page(const TemporaryFolder& folder, const std::string& page) {
  const Run run = shell(folder.path(), fmt::format("groff -man -Tascii -P-cbou {}", page));
  static const std::regex head(R"( {7}(?:-\w, )?(--[a-z-]+).*)");
  Words options;
  std::smatch match;
  for (const std::string& line : lines_of(run.out)) {
    if (std::regex_match(line, match, head)) options.insert(match[1]);
  }
  return options;
}

/// What a shell offers at the end of each line, in a folder that has its completion in `script`. A folder's name has no
/// slash at its end.
std::vector<Words> offered(const std::string& name, const TemporaryFolder& folder,
                           const std::vector<std::string>& lines) {
  std::string command;
  for (const std::string& line : lines) {
    if (name == "bash") {
      command += fmt::format("bash -c '{}' bash {}{}\n",
                             ". ./script; COMP_WORDS=(\"$@\"); COMP_CWORD=$(($# - 1)); _sprue; "
                             "printf \"%s\\n\" \"${COMPREPLY[@]}\" \"[done]\"",
                             line, line.ends_with(' ') ? "''" : "");
    } else if (name == "fish") {
      command += (command.empty() ? "HOME=$PWD fish --no-config -c '\nsource script\n" : "") +
                 fmt::format("complete -C\"{}\"\necho \"[done]\"\n", line);
    } else {
      command +=
          (command.empty() ? fmt::format("zsh -f '{}' script", (source_dir() / "tests/package/complete.zsh").string())
                           : "") +
          fmt::format(" '{}'", line);
    }
  }
  if (name == "fish") command += "' | cut -f 1";
  const Run run = shell(folder.path(), command);
  INFO(command << "\n" << run.err);
  REQUIRE(run.err.empty());
  std::vector<Words> answers(1);
  for (std::string word : lines_of(run.out)) {
    if (word == "[done]") {
      answers.emplace_back();
      continue;
    }
    if (word.ends_with('/')) word.pop_back();
    if (!word.empty()) answers.back().insert(word);
  }
  answers.pop_back();
  REQUIRE(answers.size() == lines.size());
  return answers;
}

}  // namespace

TEST_CASE("each command has a manual page that formats without a warning and tells its options", "[package][manual]") {
  const TemporaryFolder folder;
  REQUIRE(run_in(folder.path(), {"manual", "--out", folder.path().string()}).code == 0);
  std::map<std::string, std::string> pages{{"sprue.1", run_in(".", {"--help"}).out}};
  for (const auto& [command, help] : helps()) pages[fmt::format("sprue-{}.1", command)] = help;
  Words files;
  for (const auto& entry : std::filesystem::directory_iterator(folder.path()))
    files.insert(entry.path().filename().string());
  CHECK(files == keys_of(pages));

  REQUIRE(shell(folder.path(), "command -v groff && command -v mandoc").code == 0);
  for (const auto& [page, help] : pages) {
    INFO(page);
    CHECK(shell(folder.path(), fmt::format("groff -man -ww -Tutf8 {} 2>&1 >page", page)).out.empty());
    // The date is left out on purpose.
    CHECK(shell(folder.path(), fmt::format("mandoc -T lint -W warning {} | grep -v 'missing date'", page)).out.empty());
    const auto options = options_of(help);
    CHECK(options_of_page(folder, page) == keys_of(options));
    const std::string text = read(folder.path() / page);
    CHECK(text.find("1 \"\" \"sprue ") != std::string::npos);
    for (const char* const section : {"NAME", "SYNOPSIS", "DESCRIPTION", "OPTIONS", "EXIT STATUS", "FILES", "EXAMPLES"})
      CHECK(text.find(fmt::format(".SH {}\n", section)) != std::string::npos);
    for (const auto& [option, choices] : options) {
      for (const std::string& choice : choices)
        CHECK(text.find(fmt::format("\\fB{}\\fR", choice)) != std::string::npos);
    }
  }
}

TEST_CASE("a page that is asked for goes to standard output, and one that is not there is refused",
          "[package][manual]") {
  CHECK(run_in(".", {"manual", "check"}).out.starts_with(".TH SPRUE\\-CHECK 1 "));
  const Run run = run_in(".", {"manual", "chek"});
  CHECK(run.code == 2);
  CHECK(run.err.find("there is no command `chek`") != std::string::npos);
  CHECK(run_in(".", {"--help"}).out.find("manual") == std::string::npos);
}

TEST_CASE("a page says what its command's exit codes mean", "[package][manual]") {
  const std::string one = ".TP\n\\fB1\\fR\n";
  CHECK(run_in(".", {"manual", "check"}).out.find(one + "Evaluated, and something") != std::string::npos);
  CHECK(run_in(".", {"manual", "serve"}).out.find(one + "The session ended without \\fBshutdown\\fR.") !=
        std::string::npos);
  CHECK(run_in(".", {"serve", "--help"}).out.find("; 1 the session ended without `shutdown`;") != std::string::npos);
}

TEST_CASE("each example of a manual page does what it says", "[package][manual]") {
  const Repository repository;
  repository.put("trip.sprue", read(source_dir() / "tests/package/trip.sprue"));
  REQUIRE(shell(repository.path(), "sprue report trip.sprue --format lines --out trip.figures").code == 0);
  repository.commit("A trip");
  std::map<std::string, std::string> without = helps();
  for (const sprue::Example& example : sprue::examples) {
    const Run run = shell(repository.path(), fmt::format("{} </dev/null", example.line));
    INFO(example.line << "\n" << run.err);
    CHECK(run.code == 0);
    CHECK(std::string(example.line).starts_with(fmt::format("sprue {}", example.command)));
    without.erase(example.command);
  }
  INFO("commands without an example: " << (without.empty() ? "" : without.begin()->first));
  CHECK(without.empty());
}

TEST_CASE("each shell completes commands, options, values and sources", "[package][completion]") {
  const std::map<std::string, std::string> commands = helps();
  const Words names = keys_of(commands);
  for (const std::string name : {"bash", "zsh", "fish"}) {
    DYNAMIC_SECTION(name) {
      const TemporaryFolder folder;
      REQUIRE(run_in(folder.path(), {"completion", name, "--out", (folder.path() / "script").string()}).code == 0);
      CHECK(shell(folder.path(), fmt::format("{} script", name == "fish" ? "fish --no-execute" : name + " -n")).code ==
            0);
      folder.file("trip.sprue", "");
      folder.file("notes.txt", "");
      std::filesystem::create_directory(folder.path() / "parts");

      std::vector<std::pair<std::string, Words>> questions{
          {"sprue ", names},
          {"sprue --", {"--help", "--version"}},
          {"sprue check ", {"parts", "trip.sprue"}},
          {"sprue compare trip.sprue ", {"parts", "trip.sprue"}},
          {"sprue report --out ", {"notes.txt", "parts", "script", "trip.sprue"}},
          {"sprue report --used-from ", {"parts"}},
          {"sprue dump g", {"graph"}},
      };
      for (const auto& [command, help] : commands) {
        const auto options = options_of(help);
        questions.emplace_back(fmt::format("sprue {} --", command), keys_of(options));
        for (const auto& [option, choices] : options) {
          if (!choices.empty()) questions.emplace_back(fmt::format("sprue {} {} ", command, option), choices);
        }
      }
      std::vector<std::string> lines;
      for (const auto& [line, answer] : questions) lines.push_back(line);
      const std::vector<Words> answers = offered(name, folder, lines);
      for (std::size_t i = 0; i < questions.size(); ++i) {
        INFO(questions[i].first);
        Words answer = answers[i];
        // Bash offers the options of the program beside its commands.
        if (i == 0) std::erase_if(answer, [](const std::string& word) { return word.starts_with('-'); });
        CHECK(answer == questions[i].second);
      }
    }
  }
}

TEST_CASE("bash knows which argument it is at, and an option written with an equals sign", "[package][completion]") {
  const TemporaryFolder folder;
  REQUIRE(run_in(folder.path(), {"completion", "bash", "--out", (folder.path() / "script").string()}).code == 0);
  folder.file("trip.sprue", "");
  const Words stages{"graph", "model", "tree"};
  CHECK(offered("bash", folder,
                {"sprue dump ", "sprue dump --scenario tree ", "sprue dump --scenario = x tree ",
                 "sprue explain trip.sprue ", "sprue report --format = m"}) ==
        std::vector<Words>{stages, stages, {"trip.sprue"}, {}, {"markdown"}});
}
