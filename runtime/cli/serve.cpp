// `sprue serve`: the language server over standard input and output.
#include "runtime/cli/serve.hpp"

#include "runtime/cli/commands.hpp"
#include "runtime/cli/project.hpp"
#include "runtime/cli/stdlib.hpp"
#include "runtime/serve/server.hpp"

namespace sprue {

serve::Host serve_host() {
  serve::Host host;
  host.loader = [](const std::string& file, serve::TextAtHand at_hand) {
    return project_loader(project_root(file), [at_hand = std::move(at_hand)](const std::filesystem::path& path) {
      const std::string* const text = at_hand(path.generic_string());
      return text == nullptr ? read_file(path) : FileText{*text, {}};
    });
  };
  for (const StandardModule& module : standard_modules()) host.modules.emplace_back(module.name);
  return host;
}

int run_serve(std::istream& in, Streams streams) {
  return serve::Server(serve_host(), in, streams.out).run();
}

}  // namespace sprue
