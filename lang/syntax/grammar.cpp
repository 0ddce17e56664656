// The grammar as PEGTL rules, each next to the node it makes. The only source file of lang that includes PEGTL.
#include <limits>
#include <tao/pegtl.hpp>
#include <tao/pegtl/contrib/analyze.hpp>

#include "lang/syntax/combinators.hpp"
#include "lang/syntax/parse.hpp"

namespace sprue::grammar {

// Expressions.
struct expr;
struct need_expr : need<expr, Want::expression> {};
struct need_name : need<name, Want::name> {};
struct need_new_name : need<new_name, Want::new_name> {};
struct need_kind_name : need<kind_name, Want::new_name> {};
struct need_dims : need<dims, Want::dims> {};

struct whose : node<NodeKind::domain_whose, name, ws, key<"whose">, ws, need_name, ws, need<key<"is">, Want::k_is>,
                    wrap, need_expr> {};
struct all : clause<NodeKind::domain_all, seq<key<"all">, ws, not_at<joining_word>, at<word>>, need_name> {};
struct range_or_expr : pair_or_one<NodeKind::domain_range, expr, opt<ws, dots, ws, need_expr>> {};
struct domain : sor<all, seq<at<word, ws, key<"whose">>, whose>, range_or_expr> {};
struct for_clause : clause<NodeKind::for_clause, key<"for">, ws, need_new_name, opt<ws, comma, wrap, need_new_name>, ws,
                           need<key<"in">, Want::k_in>, ws, need<domain, Want::domain>> {};
struct where_clause : clause<NodeKind::where_clause, key<"where">, ws, need_expr> {};
struct loops : seq<opt<ws, for_clause>, opt<ws, where_clause>> {};

/// The rest of a list in `[ ]`; a comma may stand before the end.
template <class Rule>
struct more : seq<star<ws, comma, ws, not_at<one<']'>>, need<Rule, Want::expression>>, opt<ws, comma>> {};

struct parenthesis : parenthesized<open<'('>, ws, need_expr, ws, close<')'>> {};
struct aggregate : node<NodeKind::aggregate, aggregate_word, open<'('>, ws, need_expr, loops, ws, close<')'>> {};
struct repeated : clause_after<NodeKind::repeated, key<"x">, ws, need<integer, Want::integer>> {};
struct item : seq<expr, opt<ws, repeated>> {};
struct comprehension : seq<ws, for_clause, become<NodeKind::comprehension>, opt<ws, where_clause>> {};
struct series : node<NodeKind::series, opt<at<key<"series">, ws, one<'['>>, key<"series">, ws>, open<'['>, ws,
                     opt<item, sor<comprehension, more<item>>>, ws, close<']'>> {};
struct the_only : clause<NodeKind::the_only, seq<key<"the">, at<blanks, not_at<joining_word>, word>>, ws, need_name> {};
struct plain_value : sor<date, number, string> {};  // nothing is called, indexed or asked of it
struct primary : sor<parenthesis, aggregate, series, the_only, name> {};

struct member : clause_after<NodeKind::member, seq<one<'.'>, not_at<one<'.'>>>, need_name> {};
struct call : clause_after<NodeKind::call, open<'('>, ws, opt<expr, star<ws, comma, ws, need_expr>>, ws, close<')'>> {};
struct index : clause_after<NodeKind::index, open<'['>, ws, need_expr, ws, close<']'>> {};
struct suffixes : star<sor<member, call, index>> {};
struct postfix : sor<seq<plain_name, suffixes>, plain_value, seq<primary, suffixes>> {};

struct branches : nested<need_expr, ws, need<key<"then">, Want::k_then>, wrap, need_expr, ws,
                         need<key<"else">, Want::k_else>, wrap, need_expr> {};
struct conditional : clause<NodeKind::conditional, key<"if">, ws, branches> {};
struct basic : sor<seq<misplaced_if, conditional>, postfix> {};
struct operand : sor<basic, seq<prefix_operator, star<ws, prefix_operator>, ws, need<basic, Want::operand>>> {};
struct expr : sor<conditional, chain<operand, star<ws, binary_operator, wrap, need<operand, Want::operand>>>> {};

// Values and what may follow them.
struct row : node<NodeKind::row, expr, ws, need<colon, Want::row_colon>, wrap, need_expr> {};
struct rows : seq<open<'['>, ws, opt<row, more<row>>, ws, close<']'>> {};
struct table : clause<NodeKind::table, seq<key<"table">, ws, at<one<'['>>>, rows> {};
struct curve : clause<NodeKind::curve, seq<key<"curve">, ws, at<one<'['>>>, rows> {};
struct unknown : clause<NodeKind::unknown, key<"unknown">> {};
struct value : sor<table, curve, unknown, expr> {};
struct need_value : need<value, Want::value> {};
struct need_date : need<date, Want::date> {};
struct shape : opt<ws, key<"as">, ws, need<data_word, Want::shape>> {};
struct within
    : clause<NodeKind::within, key<"within">, ws, need_expr, ws, need<dots, Want::dots>, ws, need_expr, shape> {};
struct plus_minus : clause<NodeKind::plus_minus, string_<'+', '-'>, ws, need<number, Want::number>, shape> {};
struct on_date : clause<NodeKind::on_date, key<"on">, ws, need_date> {};
struct until_date : clause<NodeKind::until_date, key<"until">, ws, need_date> {};
struct source : clause<NodeKind::source, key<"from">, ws, need<data_word, Want::source_word>, ws,
                       need<string, Want::string>, opt<ws, on_date>, opt<ws, until_date>> {};
struct facts : star<ws, sor<within, plus_minus, source>> {};
struct path : seq<name, star<member>> {};
struct need_path : need<path, Want::path> {};

// Types.
template <NodeKind Kind, Text Word>
struct word_type : clause<Kind, seq<key<Word>, not_at<ws, one<'/', '*', '^'>>>> {};
template <NodeKind Kind, Text Word>
struct dims_type : clause<Kind, key<Word>, ws, need<key<"of">, Want::k_of>, ws, need_dims> {};
template <NodeKind Kind, Text Word>
struct table_type : clause<Kind, key<Word>, ws, need<key<"of">, Want::k_of>, ws, need_dims, ws,
                           need<key<"to">, Want::k_to>, ws, need_dims> {};
template <NodeKind Kind, Text Word>
struct kind_type : clause<Kind, seq<key<Word>, at<blanks, word>>, ws, need_name> {};
template <NodeKind Kind, Text Word>
struct owned_type : clause<Kind, seq<key<Word>, ws, key<"of">>, ws, need_name> {};
// In a list of choices a name belongs to the list unless something follows that makes it a field.
struct one_more
    : seq<comma, wrap, at<word, blank_space, sor<one<',', '}', ')', '=', '\n', '#', ';'>, string_<'\r', '\n'>, eof>>,
          new_name> {};
struct choice : clause<NodeKind::type_choice, key<"choice">, ws, need<key<"of">, Want::k_of>, ws, need_new_name,
                       star<ws, one_more>> {};
struct quantity : node<NodeKind::type_quantity, dims> {};
struct type : sor<word_type<NodeKind::type_date, "date">, word_type<NodeKind::type_flag, "flag">,
                  word_type<NodeKind::type_text, "text">, word_type<NodeKind::type_whole, "whole">, choice,
                  dims_type<NodeKind::type_point, "point">, dims_type<NodeKind::type_series, "series">,
                  table_type<NodeKind::type_table, "table">, table_type<NodeKind::type_curve, "curve">,
                  kind_type<NodeKind::type_one, "one">, kind_type<NodeKind::type_optional, "optional">,
                  kind_type<NodeKind::type_many, "many">, owned_type<NodeKind::type_list, "list">,
                  owned_type<NodeKind::type_set, "set">, quantity> {};
struct need_type : need<type, Want::type> {};

// Members of kinds, instances and their entries.
struct title : opt<ws, string> {};
struct default_value : opt<ws, equals, wrap, need_value, facts> {};
struct field
    : node<NodeKind::field_decl, opt<modifier<"final", flag_final>>, opt<modifier<"replaceable", flag_replaceable>>,
           opt<modifier<"headline", flag_headline>>, opt<modifier<"basis", flag_basis>>, new_name, title, ws,
           need<colon_of_type, Want::field_colon>, wrap, need_type, default_value> {};
struct statement_key_end : not_at<blank_space, one<':', '='>> {};
struct require : clause<NodeKind::require, seq<key<"require">, statement_key_end>, ws, need_expr, title> {};
struct when_clause : seq<key<"when">, ws, need_expr> {};
struct caution : clause<NodeKind::caution, seq<key<"caution">, statement_key_end>, ws, need<string, Want::caution_text>,
                        opt<ws, when_clause>> {};
struct ledger_path : seq<name, need<member, Want::dot_category>> {};
struct on_clause : clause<NodeKind::on_clause, key<"on">, ws, need_expr> {};
struct post : clause<NodeKind::post, seq<key<"post">, statement_key_end>, ws, need<ledger_path, Want::ledger>, ws,
                     need<equals, Want::post_equals>, wrap, need_expr, opt<ws, on_clause>, loops> {};
struct kind_member : sor<require, caution, post, field> {};

struct instance_entry;
struct like_clause : clause<NodeKind::like_clause, seq<key<"like">, at<blanks, word>>, ws, need_path> {};
struct named : seq<ws, not_at<key<"like">>, new_name, title, opt<ws, like_clause>, opt<block<instance_entry>>> {};
struct unnamed : seq<title, opt<ws, like_clause>, need<block<instance_entry>, Want::name_or_block>> {};
struct instance : node<NodeKind::instance, name, sor<named, unnamed>> {};
struct given : node<NodeKind::given, name, ws, colon, wrap, need_value, facts> {};
struct instance_entry : sor<plain_given, seq<at<word, blank_space, one<':', '='>>, given>, instance> {};

// Declarations.
template <NodeKind Kind, Text Word, class... R>
struct statement : clause<Kind, key<Word>, ws, R...> {};
struct to_places : seq<key<"to">, ws, integer, ws, key<"places">> {};
struct need_places : need<to_places, Want::k_places> {};
struct need_number : need<number, Want::exchanged> {};
struct used : node<NodeKind::use_module, sor<seq<string, become<NodeKind::use_file>>, data_dotted>> {};
struct use : seq<key<"use">, ws, need<used, Want::used>> {};
struct dimension : statement<NodeKind::dimension, "dimension", need_new_name, opt<ws, equals, wrap, need_dims>> {};
struct zero : clause<NodeKind::zero, key<"zero">, ws, need_expr> {};
struct base_unit : seq<at<one<':'>, not_at<one<'='>>, not_at<blank_space, amount>>, one<':'>, wrap, need_dims> {};
struct derived_unit : seq<equals, become<NodeKind::derived_unit>, wrap, need_expr, opt<ws, zero>> {};
struct unit
    : statement<NodeKind::base_unit, "unit", need_name, ws, need<sor<base_unit, derived_unit>, Want::colon_or_equals>> {
};
struct countable : statement<NodeKind::countable, "countable", need_new_name, title> {};
struct currency : statement<NodeKind::currency, "currency", need_name, title, ws, need_places> {};
struct exchange
    : statement<NodeKind::exchange, "exchange", need_number, ws, need<equals, Want::rate>, wrap, need_number, facts> {};
struct parameter : node<NodeKind::parameter, new_name, ws, need<colon, Want::parameter_colon>, wrap, need_type> {};
struct parameters
    : seq<open<'('>, ws, opt<parameter, star<ws, comma, ws, need<parameter, Want::new_name>>>, ws, close<')'>> {};
struct function
    : statement<NodeKind::function, "function", need_new_name, ws, need<parameters, Want::parameters>, ws,
                need<one<':'>, Want::result_colon>, wrap, need_type, ws, need<equals, Want::body>, wrap, need_expr> {};
struct is_clause : clause<NodeKind::is_clause, key<"is">, ws, need_name> {};
struct within_clause : clause<NodeKind::within_clause, key<"within">, ws, need_name> {};
struct kind
    : node<NodeKind::kind, sor<seq<modifier<"abstract", flag_abstract>, need<key<"kind">, Want::k_kind>>, key<"kind">>,
           ws, need_kind_name, opt<ws, is_clause>, opt<ws, within_clause>, need<block<kind_member>, Want::block>> {};
struct category
    : node<NodeKind::category, opt<sor<modifier<"in", flag_in>, modifier<"out", flag_out>>>, new_name, title> {};
struct dated : seq<key<"dated">, mark<flag_dated>> {};
struct ledger : statement<NodeKind::ledger, "ledger", need_new_name, title, ws, need<colon, Want::ledger_colon>, wrap,
                          need_dims, opt<ws, dated>, need<block<category>, Want::block>> {};
struct column : node<NodeKind::column, opt<modifier<"private", flag_private>>, new_name, title, ws,
                     need<equals, Want::column_equals>, wrap, need_expr> {};
struct listing : statement<NodeKind::listing, "listing", need_new_name, title, ws, need<for_clause, Want::k_for>,
                           opt<ws, where_clause>, need<block<column>, Want::block>> {};
struct over_clause : clause<NodeKind::over_clause, key<"over">, ws, need_expr> {};
struct chart : statement<NodeKind::chart, "chart", need_new_name, title, ws, need<for_clause, Want::k_for_chart>,
                         opt<ws, where_clause>, ws, need<over_clause, Want::k_over>, need<block<column>, Want::block>> {
};
struct most_rows : seq<key<"to">, ws, need<integer, Want::integer>, ws, need<key<"rows">, Want::k_rows>> {};
struct section : node<NodeKind::section, path, opt<ws, most_rows>> {};
struct audience : statement<NodeKind::audience, "audience", need_new_name, title, need<block<section>, Want::block>> {};
struct shown_in : clause<NodeKind::shown_in, key<"in">, ws, need_dims> {};
struct shown_quantity : seq<need_dims, opt<ws, shown_in>, ws, need_places> {};
struct in_percent : seq<key<"in">, ws, need<key<"percent">, Want::k_percent>, opt<ws, at<key<"to">>, need_places>> {};
struct shown_field : seq<at<word, one<'.'>>, name, member, ws, need<in_percent, Want::in_percent>> {};
struct show : statement<NodeKind::show, "show", sor<shown_field, shown_quantity>> {};
struct to_clause : clause<NodeKind::to_clause, key<"to">, ws, need_path> {};
struct remove : clause<NodeKind::remove, seq<key<"remove">, at<blanks, word>>, ws, need_path> {};
struct add
    : clause<NodeKind::add, seq<key<"add">, at<blanks, word>>, ws, need<instance, Want::name>, opt<ws, to_clause>> {};
struct change : node<NodeKind::given, path, ws, need<colon, Want::change_colon>, wrap, need_value, facts> {};
struct scenario_entry : sor<remove, add, change> {};
struct scenario : statement<NodeKind::scenario, "scenario", need_new_name, title, opt<ws, like_clause>,
                            need<block<scenario_entry>, Want::block>> {};
struct tolerance : clause<NodeKind::tolerance, string_<'+', '-'>, ws, need_expr> {};
struct expect : statement<NodeKind::expect, "expect", need_expr, opt<ws, tolerance>, title> {};
struct correlate : statement<NodeKind::correlate, "correlate", need_path, ws, need<key<"with">, Want::k_with>, ws,
                             need_path, ws, need<expr, Want::correlated>> {};
struct report : statement<NodeKind::report, "report", need<key<"in">, Want::report_in>, ws, need_name> {};
struct declaration : sor<use, dimension, unit, countable, currency, exchange, function, kind, ledger, listing, chart,
                         audience, show, scenario, expect, correlate, report, instance> {};
struct file : node<NodeKind::file, entries<declaration>> {};

template <>
inline constexpr Want wanted<declaration> = Want::declaration;
template <>
inline constexpr Want wanted<kind_member> = Want::kind_member;
template <>
inline constexpr Want wanted<instance_entry> = Want::instance_entry;
template <>
inline constexpr Want wanted<scenario_entry> = Want::change;
template <>
inline constexpr Want wanted<category> = Want::category;
template <>
inline constexpr Want wanted<column> = Want::column;
template <>
inline constexpr Want wanted<section> = Want::section;

}  // namespace sprue::grammar

namespace sprue {

Tree parse(const Sources& sources, SourceId source, Symbols& symbols, Diagnostics& diagnostics) {
  TreeBuilder builder(sources, source, symbols, diagnostics);
  const std::string_view text = builder.text;
  if (text.size() > std::numeric_limits<std::uint32_t>::max() / 2) {
    builder.report(Code::syntax, 0, 0, "a source file larger than 2 GiB");
    return std::move(builder.tree);
  }
  report_bad_bytes(builder);
  grammar::Input in(text.data(), text.data() + text.size(), "");
  if (text.starts_with(byte_order_mark)) in.bump(byte_order_mark.size());
  static_cast<void>(tao::pegtl::parse<grammar::file>(in, builder));
  return builder.finish();
}

std::size_t grammar_problems() {
  return tao::pegtl::analyze<grammar::file>(-1);
}

}  // namespace sprue
