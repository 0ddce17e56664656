// From a keystroke to its diagnostics: a large file open in the language server, changed again and again.
// Prints the median of each, and what came of it; FILE as `sprue_bench write` writes it.
#include <fmt/format.h>
#include <algorithm>
#include <ctime>
#include <sstream>

#include "runtime/cli/memory.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/serve.hpp"
#include "runtime/serve/message.hpp"
#include "runtime/serve/server.hpp"
#include "tests/bench/commands.hpp"
#include "tests/bench/timing.hpp"

namespace sprue::bench {
namespace {

namespace server = sprue::serve;
using server::Json;

/// Milliseconds of the processor, the median of several: waiting for it is not counted.
template <class Work>
double median_time(const Work& work) {
  std::vector<double> times;
  for (int i = 0; i < 15; ++i) {
    const std::clock_t begin = std::clock();
    work();
    times.push_back(1e3 * static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
  }
  return median(std::move(times));
}

}  // namespace

int serve(const std::vector<std::string>& arguments) {
  if (arguments.size() != 1) return 2;
  keep_memory();
  const FileText file = read_file(arguments[0]);
  if (!file.problem.empty()) {
    fmt::print(stderr, "`{}`: {}\n", arguments[0], file.problem);
    return 1;
  }
  double headline = 0;
  bool fine = true;
  const double alone = median_time([&] {
    Sources sources;
    Program program;
    Diagnostics diagnostics;
    const SourceId main_source = sources.add("bench", file.text);
    check(program, sources, main_source, project_loader("."), diagnostics);
    const Evaluation evaluation = evaluate(program, none, {}, diagnostics);
    if (fine) fine = !diagnostics.has_errors();
    if (fine) headline = evaluation.value(evaluation.lowered.headlines.at(0).node);
  });
  if (!fine) {
    fmt::print(stderr, "`{}` is refused; see `sprue check`\n", arguments[0]);
    return 1;
  }
  std::istringstream in;
  std::ostringstream out;
  server::Server running(serve_host(), in, out);
  const auto send = [&](const char* method, Json params, bool request) {
    Json message = Json::object({{"jsonrpc", "2.0"}, {"method", method}, {"params", std::move(params)}});
    if (request) message.set("id", 1);
    std::ostringstream framed;
    server::write_message(framed, server::write(message));
    in.clear();
    in.str(framed.str());
    out.str({});
    running.run();
    return out.str().size();
  };
  const Json document = Json::object({{"uri", "untitled:bench"}, {"version", 1}, {"text", file.text}});
  const Json name = Json::object({{"uri", "untitled:bench"}, {"version", 2}});
  send("initialize", Json(Json::Object{}), true);
  send("textDocument/didOpen", Json::object({{"textDocument", document}}), false);
  const Json start = Json::object({{"line", 0}, {"character", 0}});
  const Json range = Json::object({{"start", start}, {"end", start}});
  const Json change = Json::object(
      {{"textDocument", name}, {"contentChanges", Json::array({Json::object({{"range", range}, {"text", "\n"}})})}});
  fmt::print("checking and evaluating alone {:.1f} ms, first headline {:.14g}\n", alone, headline);
  std::size_t bytes = 0;
  const auto report = [&](const char* what, const char* method, const Json& params, bool request) {
    const double time = median_time([&] { bytes = send(method, params, request); });
    fmt::print("{} {:.1f} ms, {} bytes of answer\n", what, time, bytes);
  };
  report("change to diagnostics", "textDocument/didChange", change, false);
  const auto middle = static_cast<double>(std::count(file.text.begin(), file.text.end(), '\n') / 2);
  const Json place = Json::object(
      {{"textDocument", name}, {"position", Json::object({{"line", middle}, {"character", 6}})}, {"range", range}});
  for (const char* const method :
       {"textDocument/hover", "textDocument/completion", "textDocument/inlayHint", "textDocument/semanticTokens/full"})
    report(method, method, place, true);
  return 0;
}

}  // namespace sprue::bench
