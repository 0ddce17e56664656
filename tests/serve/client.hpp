// A client of the language server, in memory: sends messages and keeps what comes back.
#pragma once

#include <algorithm>
#include <sstream>
#include <string>
#include <vector>

#include "runtime/cli/serve.hpp"
#include "runtime/serve/json_read.hpp"
#include "runtime/serve/message.hpp"
#include "runtime/serve/server.hpp"

namespace sprue::testing {

using serve::Json;

/// A text with a place in it, written as `^`.
struct Marked {
  explicit Marked(const std::string& with_mark)
      : text(with_mark.substr(0, with_mark.find('^')) + with_mark.substr(with_mark.find('^') + 1)) {
    const std::string before = with_mark.substr(0, with_mark.find('^'));
    const auto lines = static_cast<std::size_t>(std::count(before.begin(), before.end(), '\n'));
    place = Json::object({{"line", lines}, {"character", before.size() - (before.rfind('\n') + 1)}});
  }
  std::string text;
  Json place;
};

/// The bytes of a message.
inline std::string framed(const Json& message) {
  std::ostringstream bytes;
  serve::write_message(bytes, serve::write(message));
  return bytes.str();
}
inline Json notification(const std::string& method, Json params) {
  return Json::object({{"jsonrpc", "2.0"}, {"method", method}, {"params", std::move(params)}});
}
inline Json question(int id, const std::string& method, Json params) {
  return Json::object({{"jsonrpc", "2.0"}, {"id", id}, {"method", method}, {"params", std::move(params)}});
}
inline Json opening(const std::string& uri, const std::string& text) {
  return notification("textDocument/didOpen",
                      Json::object({{"textDocument", Json::object({{"uri", uri}, {"version", 1}, {"text", text}})}}));
}

class Client {
 public:
  explicit Client(bool initialize = true, Json capabilities = {}, serve::Host host = serve_host())
      : server_(std::move(host), in_, out_) {
    if (initialize) result("initialize", Json::object({{"capabilities", std::move(capabilities)}}));
  }

  /// Sends bytes as they are and takes in what is answered.
  int send_raw(const std::string& bytes) {
    in_.clear();
    in_.str(bytes);
    out_.str({});
    code_ = server_.run();
    std::istringstream answers(out_.str());
    while (const auto message = serve::read_message(answers)) {
      const auto json = serve::read_json(message->text);
      if (json) received.push_back(*json);
    }
    return code_;
  }
  int send(const Json& message) { return send_raw(framed(message)); }
  int notify(const std::string& method, Json params) { return send(notification(method, std::move(params))); }
  /// The whole response.
  Json request(const std::string& method, Json params) {
    const int id = ++last_id_;
    send(question(id, method, std::move(params)));
    for (auto message = received.rbegin(); message != received.rend(); ++message) {
      if ((*message)["id"] == Json(id)) return *message;
    }
    return {};
  }
  Json result(const std::string& method, Json params) { return request(method, std::move(params))["result"]; }

  void open(const std::string& uri, const std::string& text) { send(opening(uri, text)); }
  void change(const std::string& uri, Json change) {
    notify("textDocument/didChange", Json::object({{"textDocument", Json::object({{"uri", uri}, {"version", 2}})},
                                                   {"contentChanges", Json::array({std::move(change)})}}));
  }
  /// Opens the text and asks about its marked place.
  Json ask(const std::string& method, const Marked& marked, Json more = Json(Json::Object{}),
           const std::string& uri = "untitled:one") {
    open(uri, marked.text);
    more.set("textDocument", Json::object({{"uri", uri}}));
    more.set("position", marked.place);
    return request("textDocument/" + method, std::move(more));
  }
  Json about(const std::string& method, const std::string& uri, Json more = Json(Json::Object{})) {
    more.set("textDocument", Json::object({{"uri", uri}}));
    return result("textDocument/" + method, std::move(more));
  }

  /// The diagnostics last published of a file; null where there are none.
  Json diagnostics(const std::string& uri) const {
    for (auto message = received.rbegin(); message != received.rend(); ++message) {
      const Json& params = (*message)["params"];
      if ((*message)["method"] == Json("textDocument/publishDiagnostics") && params["uri"] == Json(uri))
        return params["diagnostics"];
    }
    return {};
  }

  std::vector<Json> received;

 private:
  std::istringstream in_;
  std::ostringstream out_;
  serve::Server server_;
  int last_id_ = 0;
  int code_ = 0;
};

}  // namespace sprue::testing
