// `sprue manual`: manual pages in roff, one of the program and one of each command, made of the command line itself.
// Knows no CLI11.
#include <fmt/format.h>
#include <algorithm>
#include <cctype>
#include <filesystem>

#include "runtime/cli/command_line.hpp"
#include "runtime/cli/examples.hpp"
#include "runtime/cli/output.hpp"
#include "runtime/cli/workspace.hpp"
#include "sprue/version.hpp"

namespace sprue {
namespace {

/// Text as roff shows it: nothing in it is a request or an escape, and every hyphen can be copied.
std::string plain(std::string_view text) {
  std::string out;
  if (text.starts_with('.') || text.starts_with('\'')) out += "\\&";
  for (const char c : text) {
    if (c == '\\') {
      out += "\\e";
    } else if (c == '-') {
      out += "\\-";
    } else if (c == '\'') {
      out += "\\(aq";
    } else {
      out += c;
    }
  }
  return out;
}

std::string bold(std::string_view text) {
  return fmt::format("\\fB{}\\fR", plain(text));
}

std::string italic(std::string_view text) {
  return fmt::format("\\fI{}\\fR", plain(text));
}

/// A description: what stands in backquotes is bold.
std::string prose(std::string_view text) {
  std::string out;
  for (bool quoted = false;; quoted = !quoted) {
    const std::size_t end = std::min(text.find('`'), text.size());
    out += quoted ? bold(text.substr(0, end)) : plain(text.substr(0, end));
    if (end == text.size()) return out;
    text.remove_prefix(end + 1);
  }
}

char upper(char c) {
  return static_cast<char>(std::toupper(static_cast<unsigned char>(c)));
}

std::string sentence(std::string text) {
  text[0] = upper(text[0]);
  return prose(text) + (text.ends_with('.') ? "\n" : ".\n");
}

/// "a, b or c" of what is formatted already.
std::string alternatives(const std::vector<std::string>& words) {
  std::string out;
  for (std::size_t i = 0; i < words.size(); ++i)
    out += (i == 0 ? "" : i + 1 == words.size() ? " or " : ", ") + bold(words[i]);
  return out;
}

std::string upper(std::string text) {
  for (char& c : text) c = upper(c);
  return text;
}

/// What an argument is called where it is used: "FILE ...", or after its own name.
std::string place_holder(const ArgumentWords& argument) {
  const std::string& name = argument.names.back();
  const std::string text = argument.value == "TEXT" ? upper(name.substr(name.find_first_not_of('-'))) : argument.value;
  return italic(text) + (argument.repeated ? " ..." : "");
}

class Page {
 public:
  explicit Page(std::string name) : name_(std::move(name)) {
    out_ = fmt::format(".TH {} 1 \"\" \"sprue {}\" \"Manual of sprue\"\n", plain(upper(name_)), SPRUE_VERSION);
  }

  void section(std::string_view title) { out_ += fmt::format(".SH {}\n", title); }
  void text(const std::string& formatted) { out_ += formatted; }
  void entry(const std::string& head, const std::string& formatted) {
    out_ += fmt::format(".TP\n{}\n{}", head, formatted);
  }

  void name(std::string description) {
    section("NAME");
    description[0] = static_cast<char>(std::tolower(static_cast<unsigned char>(description[0])));
    if (description.back() == '.') description.pop_back();
    text(fmt::format("{} \\- {}\n", plain(name_), plain(description)));
  }

  void arguments(const std::vector<ArgumentWords>& all, bool positional) {
    const auto wanted = [&](const ArgumentWords& argument) { return argument.positional == positional; };
    if (std::none_of(all.begin(), all.end(), wanted)) return;
    section(positional ? "ARGUMENTS" : "OPTIONS");
    for (const ArgumentWords& argument : all) {
      if (!wanted(argument)) continue;
      std::string head;
      for (const std::string& name : argument.names) {
        if (!positional) head += (head.empty() ? "" : ", ") + bold(name);
      }
      if (!argument.value.empty()) head += (head.empty() ? "" : " ") + place_holder(argument);
      std::string body = sentence(argument.description);
      if (!argument.choices.empty()) body += fmt::format("One of {}.\n", alternatives(argument.choices));
      if (!argument.standard.empty()) body += fmt::format("The default is {}.\n", bold(argument.standard));
      if (argument.required && !positional) body += "It must be given.\n";
      entry(head, body);
    }
  }

  void exit_status(std::string_view command) {
    section("EXIT STATUS");
    for (const ExitCode& code : exit_codes_of(command))
      entry(bold(std::to_string(code.code)), sentence(std::string(code.meaning)));
  }

  void files() {
    section("FILES");
    entry(italic("*.sprue"), "Sources. One may use others inside the project: the nearest folder that holds " +
                                 bold(".git") + ",\nor else the folder of the file itself.\n");
    entry(italic("share/sprue/stdlib"),
          "Below the prefix of the installation: the sources of the standard library, to be read. The program\n"
          "carries its own.\n");
    section("ENVIRONMENT");
    entry(bold("NO_COLOR"), "Where it is set and not empty, diagnostics have no color.\n");
  }

  void shown_examples(std::string_view command) {
    section("EXAMPLES");
    for (const Example& example : examples) {
      if (example.command == command)
        text(sentence(example.does) + fmt::format(".PP\n.RS 4\n.nf\n{}\n.fi\n.RE\n.PP\n", plain(example.line)));
    }
    // A paragraph that nothing follows is none.
    if (out_.ends_with(".PP\n")) out_.resize(out_.size() - 4);
  }

  void see_also(const std::vector<CommandWords>& commands) {
    section("SEE ALSO");
    std::string list;
    for (const CommandWords& command : commands) {
      const std::string other = command.name.empty() ? "sprue" : "sprue-" + command.name;
      if (other != name_) list += fmt::format("{}{}(1)", list.empty() ? "" : ",\n", bold(other));
    }
    text(list + "\n");
  }

  const std::string& bytes() const { return out_; }

 private:
  std::string name_;
  std::string out_;
};

std::string program_page(const std::vector<CommandWords>& all) {
  Page page("sprue");
  page.name(all[0].description);
  page.section("SYNOPSIS");
  page.text(fmt::format("{} {} [{}] ...\n.br\n{} {} | {}\n", bold("sprue"), italic("COMMAND"), italic("ARGUMENT"),
                        bold("sprue"), bold("--help"), bold("--version")));
  page.section("DESCRIPTION");
  page.text(sentence(all[0].description));
  page.text(
      "Results go to standard output, diagnostics to standard error. The same sources and options give the\n"
      "same bytes.\n");
  page.section("COMMANDS");
  for (const CommandWords& command : all) {
    if (!command.name.empty())
      page.entry(bold(command.name),
                 sentence(command.description) + fmt::format("See {}(1).\n", bold("sprue-" + command.name)));
  }
  page.arguments(all[0].arguments, false);
  page.exit_status({});
  page.files();
  page.shown_examples("check");
  page.see_also(all);
  return page.bytes();
}

std::string command_page(const CommandWords& command, const std::vector<CommandWords>& all) {
  Page page("sprue-" + command.name);
  page.name(command.description);
  page.section("SYNOPSIS");
  std::string line = fmt::format("{} {} [{} ...]", bold("sprue"), bold(command.name), italic("OPTION"));
  for (const ArgumentWords& argument : command.arguments) {
    if (!argument.positional) {
      if (argument.required) line += fmt::format(" {} {}", bold(argument.names.back()), place_holder(argument));
      continue;
    }
    const std::string shown = place_holder(argument);
    line += argument.required ? " " + shown : fmt::format(" [{}]", shown);
  }
  page.text(line + "\n");
  page.section("DESCRIPTION");
  page.text(sentence(command.description));
  page.arguments(command.arguments, true);
  page.arguments(command.arguments, false);
  page.exit_status(command.name);
  page.files();
  page.shown_examples(command.name);
  page.see_also({all[0]});
  return page.bytes();
}

}  // namespace

int run_manual(const ManualOptions& options, Streams streams) {
  const std::vector<CommandWords> all = command_line();
  std::vector<std::string> names;
  for (const CommandWords& command : all) {
    names.push_back(command.name);
    if (options.out.empty() && command.name != options.command) continue;
    const std::string page = command.name.empty() ? program_page(all) : command_page(command, all);
    if (options.out.empty()) return put_out(page, {}, streams);
    const std::string file = command.name.empty() ? "sprue.1" : fmt::format("sprue-{}.1", command.name);
    const int written = put_out(page, (std::filesystem::path(options.out) / file).string(), streams);
    if (written != exit_fine) return written;
  }
  if (!options.out.empty()) return exit_fine;
  complain(streams, fmt::format("there is no command `{}`", options.command), Code::bad_command,
           fmt::format("commands: {}", fmt::join(names.begin() + 1, names.end(), ", ")));
  return exit_unusable;
}

}  // namespace sprue
