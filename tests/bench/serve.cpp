// From a keystroke to its diagnostics: a large file open in the language server, changed again and again.
// Prints the median of each; FILE as sprue_write_workload writes it.
#include <fmt/format.h>
#include <ctime>
#include <sstream>

#include "runtime/cli/memory.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/serve.hpp"
#include "runtime/serve/message.hpp"
#include "runtime/serve/server.hpp"
#include "tests/bench/timing.hpp"

using namespace sprue;
using serve::Json;

namespace {

/// Milliseconds of the processor, the median of several: waiting for it is not counted.
template <class Work>
double median_time(const Work& work) {
  std::vector<double> times;
  for (int i = 0; i < 15; ++i) {
    const std::clock_t begin = std::clock();
    work();
    times.push_back(1e3 * static_cast<double>(std::clock() - begin) / CLOCKS_PER_SEC);
  }
  return bench::median(std::move(times));
}

}  // namespace

int main(int argc, char** argv) {
  if (argc != 2) return 2;
  keep_memory();
  const FileText file = read_file(argv[1]);
  std::istringstream in;
  std::ostringstream out;
  serve::Server server(serve_host(), in, out);
  const auto send = [&](const char* method, Json params, bool request) {
    Json message = Json::object({{"jsonrpc", "2.0"}, {"method", method}, {"params", std::move(params)}});
    if (request) message.set("id", 1);
    std::ostringstream framed;
    serve::write_message(framed, serve::write(message));
    in.clear();
    in.str(framed.str());
    out.str({});
    server.run();
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
  fmt::print("checking and evaluating alone {:.1f} ms\n", median_time([&] {
               Sources sources;
               Program program;
               Diagnostics diagnostics;
               const SourceId main_source = sources.add("bench", file.text);
               check(program, sources, main_source, project_loader("."), diagnostics);
               evaluate(program, none, {}, diagnostics);
             }));
  fmt::print("change to diagnostics {:.1f} ms\n", median_time([&] { send("textDocument/didChange", change, false); }));
  const Json place = Json::object(
      {{"textDocument", name}, {"position", Json::object({{"line", 9000}, {"character", 6}})}, {"range", range}});
  for (const char* const method :
       {"textDocument/hover", "textDocument/completion", "textDocument/inlayHint", "textDocument/semanticTokens/full"})
    fmt::print("{} {:.1f} ms\n", method, median_time([&] { send(method, place, true); }));
  return 0;
}
