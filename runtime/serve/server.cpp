// Which message asks for what, and the order of a session. Nothing a message says ends the server but `exit`.
#include "runtime/serve/server.hpp"

#include <algorithm>
#include <exception>
#include <utility>

#include "runtime/serve/features.hpp"
#include "runtime/serve/json_read.hpp"
#include "runtime/serve/message.hpp"

namespace sprue::serve {
namespace {

constexpr int parse_error = -32700, invalid_request = -32600, method_not_found = -32601, internal_error = -32603,
              not_initialized = -32002, request_failed = -32803;

constexpr const char* watch_request = "watch-files";

std::string text_of(const Json& json) {
  return json.text() == nullptr ? std::string() : *json.text();
}

Json capabilities(PositionEncoding encoding) {
  return Json::object(
      {{"positionEncoding", encoding == PositionEncoding::utf8 ? "utf-8" : "utf-16"},
       {"textDocumentSync", Json::object({{"openClose", true}, {"change", 2}, {"save", true}})},
       {"hoverProvider", true},
       {"definitionProvider", true},
       {"referencesProvider", true},
       {"renameProvider", Json::object({{"prepareProvider", true}})},
       {"completionProvider", Json::object({{"triggerCharacters", Json::array({".", " ", "/"})}})},
       {"documentFormattingProvider", true},
       {"codeActionProvider", Json::object({{"codeActionKinds", Json::array({"quickfix"})}})},
       {"inlayHintProvider", true},
       {"documentSymbolProvider", true},
       {"foldingRangeProvider", true},
       {"semanticTokensProvider", Json::object({{"legend", Json::object({{"tokenTypes", semantic_token_types()},
                                                                         {"tokenModifiers", Json::array()}})},
                                                {"full", true}})}});
}

}  // namespace

int Server::run() {
  while (!stopped_) {
    if (in_.rdbuf()->in_avail() <= 0) publish();
    const std::optional<Content> message = read_message(in_);
    if (!message) break;
    addressed_ = true;
    if (message->problem.empty()) {
      receive(message->text);
    } else {
      fail({}, parse_error, message->problem);
      skip(in_, message->rest);
    }
  }
  return shut_down_ || !addressed_ ? 0 : 1;
}

void Server::receive(const std::string& content) {
  const std::optional<Json> message = read_json(content);
  if (!message) {
    fail({}, parse_error, "the content is no JSON");
    return;
  }
  const Json& id = (*message)["id"];
  const std::string method = text_of((*message)["method"]);
  const bool is_request = id.text() != nullptr || id.number() != nullptr;
  if (method.empty()) {
    // Whether the client took our request makes no difference.
    const bool response =
        id == Json(watch_request) || !(*message)["result"].is_null() || !(*message)["error"].is_null();
    if (!response) fail(is_request ? id : Json(), invalid_request, "a message names a method");
    return;
  }
  try {
    if (is_request)
      respond(id, answer(method, (*message)["params"]));
    else
      notified(method, (*message)["params"]);
  } catch (const Failure& failure) {
    if (is_request) fail(id, failure.code, failure.message);
  } catch (const std::exception& error) {
    if (is_request)
      fail(id, internal_error, error.what());
    else
      log(error.what());
  }
}

void Server::notified(const std::string& method, const Json& params) {
  Documents& documents = programs_.documents;
  if (method == "exit") {
    stopped_ = true;
  } else if (!initialized_) {
    return;
  } else if (method == "initialized") {
    if (can_watch_) watch_files();
  } else if (method == "textDocument/didOpen") {
    documents.open(params["textDocument"]);
  } else if (method == "textDocument/didChange") {
    documents.change(params["textDocument"], params["contentChanges"]);
  } else if (method == "textDocument/didClose") {
    documents.close(text_of(params["textDocument"]["uri"]));
  } else if (method == "textDocument/didSave") {
    documents.touched.insert(canonical_path(path_of_uri(text_of(params["textDocument"]["uri"]))));
  } else if (method == "workspace/didChangeWatchedFiles") {
    if (params["changes"].items() == nullptr) return;
    for (const Json& change : *params["changes"].items())
      documents.touched.insert(canonical_path(path_of_uri(text_of(change["uri"]))));
  }
}

Json Server::answer(const std::string& method, const Json& params) {
  if (method == "initialize") return initialize(params);
  if (!initialized_) throw Failure{not_initialized, "the first request is `initialize`"};
  if (shut_down_) throw Failure{invalid_request, "after `shutdown` only `exit` follows"};
  if (method == "shutdown") {
    shut_down_ = true;
    return {};
  }
  static constexpr std::string_view about_files[] = {
      "textDocument/hover",        "textDocument/definition",     "textDocument/references",
      "textDocument/rename",       "textDocument/prepareRename",  "textDocument/completion",
      "textDocument/formatting",   "textDocument/codeAction",     "textDocument/inlayHint",
      "textDocument/foldingRange", "textDocument/documentSymbol", "textDocument/semanticTokens/full"};
  if (std::find(std::begin(about_files), std::end(about_files), method) == std::end(about_files))
    throw Failure{method_not_found, "no method is called " + method};
  // What is not open may have changed on disk, and edits of it must fit.
  if (method == "textDocument/rename") programs_.read_again(text_of(params["textDocument"]["uri"]));
  refresh();
  const std::optional<View> view = programs_.view(text_of(params["textDocument"]["uri"]));
  if (!view) return {};
  if (method == "textDocument/formatting") return formatting(*view);
  if (method == "textDocument/foldingRange") return folding_ranges(*view);
  if (method == "textDocument/documentSymbol") return document_symbols(*view);
  if (method == "textDocument/semanticTokens/full") return semantic_tokens(*view, programs_.documents.encoding);
  const std::uint32_t begin = view->lines.offset(position_of(params["range"]["start"]));
  const std::uint32_t end = view->lines.offset(position_of(params["range"]["end"]));
  if (method == "textDocument/codeAction") return code_actions(*view, begin, end, params["context"]["only"]);
  if (method == "textDocument/inlayHint") return inlay_hints(*view, begin, end);
  return about_place(method, *view, view->lines.offset(position_of(params["position"])), params);
}

Json Server::about_place(const std::string& method, const View& view, std::uint32_t offset, const Json& params) {
  if (method == "textDocument/hover") return hover(view, offset, markdown_);
  if (method == "textDocument/definition") return definition(view, offset);
  if (method == "textDocument/completion") return completion(programs_.host(), view, offset);
  if (method == "textDocument/references") {
    const bool* const declaration = params["context"]["includeDeclaration"].flag();
    return references(programs_, view, offset, declaration == nullptr || *declaration);
  }
  Answer answer = method == "textDocument/prepareRename" ? prepare_rename(view, offset)
                                                         : rename(programs_, view, offset, text_of(params["newName"]));
  if (!answer.refused.empty()) throw Failure{request_failed, answer.refused};
  return std::move(answer.result);
}

Json Server::initialize(const Json& params) {
  if (initialized_) throw Failure{invalid_request, "`initialize` comes once"};
  initialized_ = true;
  const Json& offered = params["capabilities"]["general"]["positionEncodings"];
  if (offered.items() != nullptr) {
    for (const Json& encoding : *offered.items()) {
      if (text_of(encoding) == "utf-8") programs_.documents.encoding = PositionEncoding::utf8;
    }
  }
  const Json& formats = params["capabilities"]["textDocument"]["hover"]["contentFormat"];
  if (formats.items() != nullptr)
    markdown_ = std::find(formats.items()->begin(), formats.items()->end(), Json("markdown")) != formats.items()->end();
  const bool* const watch = params["capabilities"]["workspace"]["didChangeWatchedFiles"]["dynamicRegistration"].flag();
  can_watch_ = watch != nullptr && *watch;
  return Json::object({{"capabilities", capabilities(programs_.documents.encoding)},
                       {"serverInfo", Json::object({{"name", "sprue"}})}});
}

void Server::watch_files() {
  Json watcher = Json::object({{"globPattern", "**/*.sprue"}});
  Json registration =
      Json::object({{"id", "files"},
                    {"method", "workspace/didChangeWatchedFiles"},
                    {"registerOptions", Json::object({{"watchers", Json::array({std::move(watcher)})}})}});
  send(Json::object({{"id", watch_request},
                     {"method", "client/registerCapability"},
                     {"params", Json::object({{"registrations", Json::array({std::move(registration)})}})}}));
}

void Server::refresh() {
  unpublished_.insert(programs_.documents.touched.begin(), programs_.documents.touched.end());
  programs_.refresh();
}

void Server::publish() {
  try {
    refresh();
    const std::set<std::string> touched = std::exchange(unpublished_, {});
    if (touched.empty()) return;
    std::map<std::string, Json> now;
    for (const auto& analysis : programs_.all()) add_diagnostics(*analysis, now);
    for (const auto& [uri, before] : published_) now.try_emplace(uri, Json::array());
    for (const auto& [uri, list] : now) {
      const Document* const document = programs_.documents.find(uri);
      const bool changed = document != nullptr && touched.count(document->path) != 0;
      const auto before = published_.find(uri);
      const bool same = before == published_.end() ? list.items()->empty() : before->second == list;
      if (same && !changed) continue;
      Json params = Json::object({{"uri", uri}, {"diagnostics", list}});
      if (document != nullptr && !document->version.is_null()) params.set("version", document->version);
      send(Json::object({{"method", "textDocument/publishDiagnostics"}, {"params", std::move(params)}}));
    }
    std::erase_if(now, [&](const auto& entry) { return entry.second.items()->empty(); });
    published_ = std::move(now);
  } catch (const std::exception& error) {
    unpublished_.clear();
    log(error.what());
  }
}

void Server::send(Json message) {
  message.set("jsonrpc", "2.0");
  write_message(out_, write(message));
}

void Server::respond(const Json& id, Json result) {
  Json message = Json::object({{"id", id}});
  message.set("result", std::move(result));
  send(std::move(message));
}

void Server::fail(const Json& id, int code, const std::string& message) {
  send(Json::object({{"id", id}, {"error", Json::object({{"code", code}, {"message", message}})}}));
}

void Server::log(const std::string& message) {
  send(Json::object({{"method", "window/logMessage"}, {"params", Json::object({{"type", 1}, {"message", message}})}}));
}

}  // namespace sprue::serve
