// The Language Server Protocol 3.17 over two streams: messages in, answers and diagnostics out.
#pragma once

#include <istream>
#include <ostream>

#include "runtime/serve/analysis.hpp"

namespace sprue::serve {

class Server {
 public:
  Server(Host host, std::istream& in, std::ostream& out) : programs_(std::move(host)), in_(in), out_(out) {}

  /// Until `exit` or the end of the input. The exit code: 0 after `shutdown` or where nothing came in, else 1.
  int run();

 private:
  /// A failed request: a code of JSON-RPC or of the protocol.
  struct Failure {
    int code = 0;
    std::string message;
  };

  void receive(const std::string& content);
  void notified(const std::string& method, const Json& params);
  Json answer(const std::string& method, const Json& params);
  Json initialize(const Json& params);
  Json about_place(const std::string& method, const Programs::View& view, std::uint32_t offset, const Json& params);

  /// Checks what changed.
  void refresh();
  /// Tells the client what is wrong with what changed, once nothing more is waiting to be read.
  void publish();
  /// Asks the client to tell of files that change on disk.
  void watch_files();
  void send(Json message);
  void respond(const Json& id, Json result);
  void fail(const Json& id, int code, const std::string& message);
  void log(const std::string& message);

  Programs programs_;
  std::istream& in_;
  std::ostream& out_;
  bool initialized_ = false;
  bool addressed_ = false;  // something came in
  bool shut_down_ = false;
  bool stopped_ = false;
  bool can_watch_ = false;                 // the client can tell of files that change
  bool markdown_ = true;                   // what the client shows of a name
  std::set<std::string> unpublished_;      // paths that changed since diagnostics were last told
  std::map<std::string, Json> published_;  // by URI
};

}  // namespace sprue::serve
