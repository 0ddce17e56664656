// The grammar as PEGTL rules, and for each rule the node it makes. Included by the parser's own source file alone.
#pragma once

#include <tao/pegtl.hpp>

#include "lang/syntax/tree.hpp"

namespace sprue::grammar {
using namespace tao::pegtl;  // NOLINT: this namespace is the grammar

// Characters and spaces.
struct id_start : sor<alpha, one<'_'>> {};
struct id_rest : sor<alnum, one<'_'>> {};
struct word : seq<id_start, star<id_rest>> {};
struct comment : seq<one<'#'>, star<not_one<'\n'>>> {};
struct blank_space : star<one<' ', '\t'>> {};
struct any_space : star<sor<one<' ', '\t', '\r', '\n'>, comment>> {};
struct entry_space : star<sor<one<' ', '\t', '\r', '\n', ','>, comment>> {};
template <char... C> struct key : seq<string<C...>, not_at<id_rest>> {};
struct blanks : plus<one<' ', '\t'>> {};
struct sp : blank_space {};
struct nl : any_space {};

// Words that end an expression or join it; they name nothing inside one.
struct k_and : key<'a', 'n', 'd'> {};
struct k_or : key<'o', 'r'> {};
struct k_not : key<'n', 'o', 't'> {};
struct k_otherwise : key<'o', 't', 'h', 'e', 'r', 'w', 'i', 's', 'e'> {};
struct k_then : key<'t', 'h', 'e', 'n'> {};
struct k_else : key<'e', 'l', 's', 'e'> {};
struct k_for : key<'f', 'o', 'r'> {};
struct k_where : key<'w', 'h', 'e', 'r', 'e'> {};
struct k_if : key<'i', 'f'> {};
struct k_is : key<'i', 's'> {};
struct k_in : key<'i', 'n'> {};
struct k_the : key<'t', 'h', 'e'> {};
struct k_all : key<'a', 'l', 'l'> {};
struct k_whose : key<'w', 'h', 'o', 's', 'e'> {};
struct k_on : key<'o', 'n'> {};
struct k_as : key<'a', 's'> {};
struct k_to : key<'t', 'o'> {};
struct k_of : key<'o', 'f'> {};
struct k_within : key<'w', 'i', 't', 'h', 'i', 'n'> {};
struct k_from : key<'f', 'r', 'o', 'm'> {};
struct k_until : key<'u', 'n', 't', 'i', 'l'> {};
struct k_like : key<'l', 'i', 'k', 'e'> {};
struct k_table : key<'t', 'a', 'b', 'l', 'e'> {};
struct k_curve : key<'c', 'u', 'r', 'v', 'e'> {};
struct k_series : key<'s', 'e', 'r', 'i', 'e', 's'> {};
struct k_unknown : key<'u', 'n', 'k', 'n', 'o', 'w', 'n'> {};
struct k_places : key<'p', 'l', 'a', 'c', 'e', 's'> {};
struct k_x : key<'x'> {};

struct joining_word : sor<k_and, k_or, k_not, k_otherwise, k_then, k_else, k_for, k_where, k_if, k_is> {};
struct k_zero : key<'z', 'e', 'r', 'o'> {};
struct no_unit_word : sor<joining_word, k_zero, k_within, k_from, k_until, k_on, k_as, k_x> {};

// Leaves.
struct name : word {};
struct value_name : seq<not_at<joining_word>, word> {};
struct unit_factor : sor<seq<one<'1'>, at<one<'/'>>>, seq<word, opt<one<'^'>, opt<one<'-'>>, plus<digit>>>> {};
struct unit_text : seq<unit_factor, star<one<'/', '*'>, unit_factor>> {};
struct dims : unit_text {};
struct digits : seq<digit, star<sor<digit, seq<one<'_'>, digit>>>> {};
struct amount : seq<digits, opt<one<'.'>, digits>, opt<one<'e', 'E'>, opt<one<'+', '-'>>, plus<digit>>> {};
struct number : seq<amount, sor<one<'%'>, seq<blanks, not_at<no_unit_word>, unit_text>, success>> {};
struct integer : seq<plus<digit>, not_at<id_rest>> {};
struct date : seq<rep<4, digit>, one<'-'>, rep<2, digit>, one<'-'>, rep<2, digit>, not_at<sor<id_rest, one<'-'>>>> {};
struct string_end : one<'"'> {};
struct text_char : sor<seq<one<'\\'>, not_one<'\n', '\r'>>, not_one<'"', '\\', '\n', '\r'>> {};
struct quoted : if_must<one<'"'>, star<text_char>, string_end> {};

// Expressions, over the space that may stand between their tokens: `sp` in a statement, `nl` inside brackets.
template <class W> struct expr;
template <class W> struct need_expr : seq<expr<W>> {};
struct need_name : seq<name> {};

struct op_symbol : sor<string<'<', '='>, string<'>', '='>, string<'!', '='>, one<'<', '>', '*', '^'>, seq<one<'+', '-'>, not_at<one<'-'>>>,
                       seq<one<'/'>, not_at<one<'/', '*'>>>, seq<one<'='>, not_at<one<'='>>>> {};
struct op_minus : seq<one<'-'>, not_at<one<'-'>>> {};
struct op_is_not : seq<k_is, blanks, k_not> {};
struct op_word : sor<op_is_not, k_is, k_and, k_or, k_otherwise> {};
struct binary_op : sor<op_symbol, op_word> {};
struct prefix_op : sor<one<'-'>, k_not> {};

struct paren_end : one<')'> {};
struct bracket_end : one<']'> {};
struct brace_end : one<'}'> {};
struct paren : if_must<one<'('>, nl, need_expr<nl>, nl, paren_end> {};
struct need_in : k_in {};
template <class W> struct whose_rest : seq<name, sp, k_whose, sp, must<need_name>, sp, must<k_is>, nl, must<need_expr<W>>> {};
template <class W> struct domain_whose : seq<at<word, sp, k_whose>, whose_rest<W>> {};
struct domain_all : seq<k_all, sp, must<need_name>> {};
template <class W> struct domain_expr : seq<need_expr<W>, opt<W, two<'.'>, nl, must<need_expr<W>>>> {};
template <class W> struct domain : sor<domain_all, domain_whose<W>, domain_expr<W>> {};
template <class W> struct need_domain : seq<domain<W>> {};
template <class W> struct for_clause : if_must<k_for, sp, need_name, sp, opt<one<','>, sp, must<need_name>, sp>, need_in, nl, need_domain<W>> {};
template <class W> struct where_clause : if_must<k_where, nl, need_expr<W>> {};

struct aggregate_word : sor<key<'s', 'u', 'm'>, key<'g', 'r', 'e', 'a', 't', 'e', 's', 't'>, key<'l', 'e', 'a', 's', 't'>, key<'c', 'o', 'u', 'n', 't'>, key<'a', 'n', 'y'>,
                            key<'e', 'v', 'e', 'r', 'y'>, key<'f', 'i', 'r', 's', 't'>, key<'l', 'a', 's', 't'>> {};
struct aggregate : if_must<seq<aggregate_word, one<'('>>, nl, need_expr<nl>, nl, opt<for_clause<nl>, nl, opt<where_clause<nl>, nl>>, paren_end> {};

struct repeated : if_must<seq<k_x, blanks>, integer> {};
struct list_item : seq<expr<nl>, nl, opt<repeated>> {};
struct list_rest : star<one<','>, nl, opt<list_item, nl>> {};
struct series_items : opt<list_item, nl, sor<seq<for_clause<nl>, nl, opt<where_clause<nl>, nl>>, list_rest>> {};
struct series : if_must<seq<opt<k_series, sp>, one<'['>>, nl, series_items, bracket_end> {};
struct the_only : seq<k_the, blanks, name> {};

struct member : if_must<seq<one<'.'>, at<id_start>>, need_name> {};
struct call : if_must<one<'('>, nl, opt<list<expr<nl>, seq<nl, one<','>, nl>>, nl>, paren_end> {};
struct index : if_must<one<'['>, nl, need_expr<nl>, nl, bracket_end> {};
struct primary : sor<date, number, quoted, aggregate, series, the_only, value_name, paren> {};
struct postfix : seq<primary, star<sor<member, call, index>>> {};

struct need_then : k_then {};
struct need_else : k_else {};
template <class W> struct conditional : if_must<k_if, nl, need_expr<W>, nl, need_then, nl, need_expr<W>, nl, need_else, nl, need_expr<W>> {};
template <class W> struct operand : seq<star<prefix_op, nl>, sor<conditional<W>, postfix>> {};
template <class W> struct need_operand : seq<operand<W>> {};
template <class W> struct expr : seq<operand<W>, star<W, binary_op, nl, must<need_operand<W>>>> {};

// Values and facts.
struct row_colon : one<':'> {};
struct row : seq<expr<nl>, nl, must<row_colon>, nl, must<need_expr<nl>>> {};
struct rows : opt<list_tail<row, one<','>, sor<one<' ', '\t', '\r', '\n'>, comment>>> {};
struct table_open : one<'['> {};
struct table : if_must<seq<k_table, sp, table_open>, nl, rows, nl, bracket_end> {};
struct curve : if_must<seq<k_curve, sp, table_open>, nl, rows, nl, bracket_end> {};
struct unknown : k_unknown {};
struct value : sor<table, curve, unknown, expr<sp>> {};
struct need_value : seq<value> {};
struct range_dots : two<'.'> {};
struct shape : seq<sp, k_as, sp, must<need_name>> {};
struct within : if_must<k_within, sp, need_expr<sp>, sp, range_dots, sp, need_expr<sp>, opt<shape>> {};
struct plus_minus_sign : string<'+', '-'> {};
struct plus_minus : if_must<plus_minus_sign, sp, need_expr<sp>, opt<shape>> {};
struct need_date : seq<date> {};
struct on_date : if_must<k_on, sp, need_date> {};
struct until_date : if_must<k_until, sp, need_date> {};
struct source_text : seq<quoted> {};
struct source : if_must<k_from, sp, need_name, sp, source_text, opt<sp, on_date>, opt<sp, until_date>> {};
struct fact : sor<within, plus_minus, source> {};
struct facts : star<sp, fact> {};
struct path_end : seq<one<'.'>, must<need_name>> {};
struct path_member : path_end {};
struct path : seq<name, star<path_member>> {};
struct need_path : seq<path> {};

// Types.
struct t_date : key<'d', 'a', 't', 'e'> {};
struct t_flag : key<'f', 'l', 'a', 'g'> {};
struct t_text : key<'t', 'e', 'x', 't'> {};
struct t_whole : key<'w', 'h', 'o', 'l', 'e'> {};
struct need_of : k_of {};
struct need_to : k_to {};
struct need_dims : seq<dims> {};
struct choice_more : seq<one<','>, nl, at<word, not_at<sp, one<':', '(', '"'>>, not_at<blanks, id_start>>, name> {};
struct t_choice : if_must<key<'c', 'h', 'o', 'i', 'c', 'e'>, sp, need_of, sp, need_name, star<choice_more>> {};
struct t_point : if_must<key<'p', 'o', 'i', 'n', 't'>, sp, need_of, sp, need_dims> {};
struct t_series : if_must<k_series, sp, need_of, sp, need_dims> {};
struct t_table : if_must<k_table, sp, need_of, sp, need_dims, sp, need_to, sp, need_dims> {};
struct t_curve : if_must<k_curve, sp, need_of, sp, need_dims, sp, need_to, sp, need_dims> {};
struct t_one : if_must<seq<key<'o', 'n', 'e'>, blanks>, need_name> {};
struct t_optional : if_must<seq<key<'o', 'p', 't', 'i', 'o', 'n', 'a', 'l'>, blanks>, need_name> {};
struct t_many : if_must<seq<key<'m', 'a', 'n', 'y'>, blanks>, need_name> {};
struct t_list : if_must<seq<key<'l', 'i', 's', 't'>, sp, k_of>, sp, need_name> {};
struct t_set : if_must<seq<key<'s', 'e', 't'>, sp, k_of>, sp, need_name> {};
struct t_quantity : seq<dims> {};
struct type : sor<t_date, t_flag, t_text, t_whole, t_choice, t_point, t_series, t_table, t_curve, t_one, t_optional, t_many, t_list, t_set, t_quantity> {};
struct need_type : seq<type> {};

// Statements end where their line does.
struct statement_end : at<sp, sor<one<',', '}', '\n', '#'>, string<'\r', '\n'>, eof>> {};
template <class Rule> struct recovering;  // see parse.cpp
template <class Entry> struct entries : seq<entry_space, star<not_at<sor<one<'}'>, eof>>, recovering<Entry>, entry_space>> {};
template <class Entry> struct block : if_must<one<'{'>, entries<Entry>, brace_end> {};
template <class Entry> struct need_block : seq<block<Entry>> {};

struct colon : one<':'> {};
struct equals : seq<one<'='>, not_at<one<'='>>> {};
struct category_sign : one<'.'> {};

// Members of kinds.
struct f_final : seq<key<'f', 'i', 'n', 'a', 'l'>, blanks> {};
struct f_headline : seq<key<'h', 'e', 'a', 'd', 'l', 'i', 'n', 'e'>, blanks> {};
struct field_decl : seq<star<sor<f_final, f_headline>>, name, opt<sp, quoted>, sp, must<colon>, nl, must<need_type>,
                        opt<sp, equals, nl, must<need_value>, facts>, must<statement_end>> {};
struct require : if_must<seq<key<'r', 'e', 'q', 'u', 'i', 'r', 'e'>, blanks>, need_expr<sp>, opt<sp, quoted>, statement_end> {};
struct post_category : path_end {};
struct post_path : seq<name, must<post_category>> {};
struct on_clause : if_must<k_on, nl, need_expr<sp>> {};
struct need_post_path : seq<post_path> {};
struct post : if_must<seq<key<'p', 'o', 's', 't'>, blanks>, need_post_path, sp, equals, nl, need_expr<sp>, opt<sp, on_clause>, opt<sp, for_clause<sp>>,
                      opt<sp, where_clause<sp>>, statement_end> {};
struct kind_member : sor<require, post, field_decl> {};

// Instances.
struct given_head : seq<name, sp, one<':'>, not_at<one<'='>>> {};
struct given : if_must<given_head, nl, need_value, facts, statement_end> {};
struct like_clause : if_must<seq<k_like, blanks>, need_path> {};
struct instance_entry;
struct instance_name : seq<not_at<k_like>, name> {};
struct instance_head : seq<name, opt<blanks, instance_name>, opt<sp, quoted>, opt<sp, like_clause>, opt<sp, block<instance_entry>>> {};
struct instance : seq<instance_head, must<statement_end>> {};
struct instance_entry : sor<given, instance> {};

// Declarations.
template <char... C> struct head : seq<key<C...>, blanks> {};
struct dotted : list<word, one<'.'>> {};
struct use_file : seq<quoted> {};
struct use_module : dotted {};
struct use_target : sor<use_file, use_module> {};
struct use : if_must<head<'u', 's', 'e'>, use_target, statement_end> {};
struct dimension : if_must<head<'d', 'i', 'm', 'e', 'n', 's', 'i', 'o', 'n'>, need_name, opt<sp, equals, sp, must<need_dims>>, statement_end> {};
struct zero : if_must<seq<k_zero, blanks>, need_expr<sp>> {};
struct base_unit_rest : if_must<one<':'>, sp, need_dims> {};
struct derived_unit_rest : if_must<equals, sp, need_expr<sp>, opt<sp, zero>> {};
struct unit_rest : sor<base_unit_rest, derived_unit_rest> {};
struct unit : if_must<head<'u', 'n', 'i', 't'>, need_name, sp, unit_rest, statement_end> {};
struct countable : if_must<head<'c', 'o', 'u', 'n', 't', 'a', 'b', 'l', 'e'>, need_name, opt<sp, quoted>, statement_end> {};
struct need_integer : seq<integer> {};
struct need_places : k_places {};
struct to_places : seq<k_to, blanks, need_integer, blanks, need_places> {};
struct need_to_places : seq<to_places> {};
struct currency : if_must<head<'c', 'u', 'r', 'r', 'e', 'n', 'c', 'y'>, need_name, opt<sp, quoted>, sp, need_to_places, statement_end> {};
struct need_number : seq<number> {};
struct exchange : if_must<head<'e', 'x', 'c', 'h', 'a', 'n', 'g', 'e'>, need_number, sp, equals, sp, need_number, facts, statement_end> {};
struct parameter : seq<name, sp, must<colon>, nl, must<need_type>> {};
struct need_open_paren : one<'('> {};
struct function : if_must<head<'f', 'u', 'n', 'c', 't', 'i', 'o', 'n'>, need_name, sp, need_open_paren, nl, opt<list<parameter, seq<nl, one<','>, nl>>, nl>, paren_end, sp, colon, nl,
                          need_type, sp, equals, nl, need_expr<sp>, statement_end> {};
struct is_clause : if_must<k_is, sp, need_name> {};
struct within_clause : if_must<k_within, sp, need_name> {};
struct kind_head : seq<opt<key<'a', 'b', 's', 't', 'r', 'a', 'c', 't'>, blanks>, head<'k', 'i', 'n', 'd'>> {};
struct kind : if_must<kind_head, need_name, opt<sp, is_clause>, opt<sp, within_clause>, sp, need_block<kind_member>, statement_end> {};
struct c_in : seq<k_in, blanks> {};
struct c_out : seq<key<'o', 'u', 't'>, blanks> {};
struct category : seq<opt<sor<c_in, c_out>>, name, opt<sp, quoted>, must<statement_end>> {};
struct k_dated : key<'d', 'a', 't', 'e', 'd'> {};
struct ledger : if_must<head<'l', 'e', 'd', 'g', 'e', 'r'>, need_name, opt<sp, quoted>, sp, colon, sp, need_dims, opt<sp, k_dated>, sp, need_block<category>, statement_end> {};
struct column : seq<name, opt<sp, quoted>, sp, must<equals>, nl, must<need_expr<sp>>, must<statement_end>> {};
struct need_for : seq<for_clause<sp>> {};
struct listing : if_must<head<'l', 'i', 's', 't', 'i', 'n', 'g'>, need_name, opt<sp, quoted>, sp, need_for, opt<sp, where_clause<sp>>, sp, need_block<column>, statement_end> {};
struct shown_in : if_must<seq<k_in, blanks>, need_dims> {};
struct show : if_must<head<'s', 'h', 'o', 'w'>, need_dims, opt<sp, shown_in>, sp, need_to_places, statement_end> {};
struct remove : if_must<head<'r', 'e', 'm', 'o', 'v', 'e'>, need_path, statement_end> {};
struct added : seq<instance_head> {};
struct to_clause : if_must<seq<k_to, blanks>, need_path> {};
struct add : if_must<head<'a', 'd', 'd'>, added, opt<sp, to_clause>, statement_end> {};
struct change_head : seq<path, sp, one<':'>, not_at<one<'='>>> {};
struct change : if_must<change_head, nl, need_value, facts, statement_end> {};
struct scenario_entry : sor<remove, add, change> {};
struct scenario : if_must<head<'s', 'c', 'e', 'n', 'a', 'r', 'i', 'o'>, need_name, opt<sp, quoted>, opt<sp, like_clause>, sp, need_block<scenario_entry>, statement_end> {};
struct tolerance : if_must<plus_minus_sign, sp, need_expr<sp>> {};
struct expect : if_must<head<'e', 'x', 'p', 'e', 'c', 't'>, need_expr<sp>, opt<sp, tolerance>, opt<sp, quoted>, statement_end> {};
struct report : if_must<seq<head<'r', 'e', 'p', 'o', 'r', 't'>, k_in>, blanks, need_name, statement_end> {};
struct declaration : sor<use, dimension, unit, countable, currency, exchange, function, kind, ledger, listing, show, scenario, expect, report, instance> {};
struct declarations : seq<entry_space, star<not_at<eof>, recovering<declaration>, entry_space>> {};
struct file : must<declarations, eof> {};

}  // namespace sprue::grammar
