#include "intake/inside/number_mark.h"

#include <algorithm>
#include <array>
#include <utility>

namespace lugwise::intake::inside {
namespace {

bool is_digit(char c) { return c >= '0' && c <= '9'; }

// Apostrophes and spaces only ever part thousands; each is known by its first letter here.
struct Mark {
  std::string_view text;
  char kind;
};
constexpr std::array<Mark, 10> kMarks{
    {{",", ','},
     {".", '.'},
     {"'", '\''},
     {"\xE2\x80\x99", '\''},
     {"_", '_'},
     {" ", ' '},
     {"\xC2\xA0", ' '},
     {"\xE2\x80\xAF", ' '},
     {"\xE2\x80\x89", ' '},
     {"\xC2\xB7", '*'}}};  // a point at half height, as British print has it

// The digits of a number in groups, and the mark before each but the first.
struct Groups {
  std::vector<std::string> digits;
  std::vector<char> marks;
  std::size_t end = 0;  // where the number ends in the text
};

Groups groups_of(std::string_view text) {
  Groups groups;
  std::size_t i = 0;
  const auto take = [&] {
    const std::size_t from = i;
    while (i < text.size() && is_digit(text[i])) ++i;
    groups.digits.emplace_back(text.substr(from, i - from));
    groups.end = i;
  };
  take();
  while (!groups.digits.front().empty()) {
    const auto mark = std::find_if(kMarks.begin(), kMarks.end(), [&](const Mark& one) {
      const std::size_t after = i + one.text.size();
      return text.substr(i).starts_with(one.text) && after < text.size() && is_digit(text[after]);
    });
    if (mark == kMarks.end()) break;
    groups.marks.push_back(mark->kind);
    i += mark->text.size();
    take();
  }
  return groups;
}

// Whether the groups up to and without `end` are thousands: three digits each, but for the first.
bool thousands(const Groups& groups, std::size_t end) {
  const std::string& first = groups.digits.front();
  if (first.size() > 3 || first.front() == '0') return false;
  return std::all_of(groups.digits.begin() + 1, groups.digits.begin() + static_cast<std::ptrdiff_t>(end),
                     [](const std::string& group) { return group.size() == 3; });
}

std::string joined(const Groups& groups, std::size_t end) {
  std::string digits;
  for (std::size_t i = 0; i < end; ++i) digits += groups.digits[i];
  return digits;
}

}  // namespace

std::vector<std::string> meanings(std::string_view text) {
  const Groups groups = groups_of(text);
  const std::size_t count = groups.digits.size();
  if (groups.marks.empty()) return {};
  const std::string rest(text.substr(groups.end));
  const char last = groups.marks.back();
  const bool decimal = last == ',' || last == '.' || last == '*';
  const bool alike = std::all_of(groups.marks.begin(), groups.marks.end(), [&](char c) { return c == last; });
  const std::string pointed = joined(groups, count - 1) + "." + groups.digits.back() + rest;
  if (count == 2) {
    if (last == '.') return {};
    if (last == '*') return {pointed};
    if (!decimal)
      return thousands(groups, 2) ? std::vector{joined(groups, 2) + rest} : std::vector<std::string>{};
    if (thousands(groups, 2)) return {joined(groups, 2) + rest, pointed};
    return {pointed};
  }
  if (alike)
    return thousands(groups, count) ? std::vector{joined(groups, count) + rest} : std::vector<std::string>{};
  // Of two kinds of mark the last is the point and the other parts thousands; alike but for the last.
  const bool same_before = std::all_of(groups.marks.begin(), groups.marks.end() - 1,
                                       [&](char c) { return c == groups.marks.front() && c != last; });
  if (!decimal || !same_before || !thousands(groups, count - 1)) return {};
  return {pointed};
}

std::string with_usual_letters(std::string_view text) {
  static constexpr std::array<std::pair<std::string_view, std::string_view>, 21> kLike{{
      {"\xD0\x9A", "K"},              // Cyrillic Ka, and small
      {"\xD0\xBA", "k"},              //
      {"\xCE\x9A", "K"},              // Greek Kappa, and small
      {"\xCE\xBA", "k"},              //
      {"\xE2\x84\xAA", "K"},          // the sign of kelvins
      {"\xD0\x9C", "M"},              // Cyrillic Em
      {"\xCE\x9C", "M"},              // Greek Mu
      {"\xD0\x9E", "O"},              // Cyrillic O, and small
      {"\xD0\xBE", "o"},              //
      {"\xCE\x9F", "O"},              // Greek Omicron, and small
      {"\xCE\xBF", "o"},              //
      {"\xCF\x89", "\xCE\xA9"},       // small omega
      {"\xE2\x88\x92", "-"},          // the true minus sign
      {"\xE2\x80\x93", "-"},          // a dash for it
      {"\xEF\xBC\x8D", "-"},          // full-width
      {"\xEF\xBC\x8B", "+"},          //
      {"\xEF\xBC\x8E", "."},          //
      {"\xEF\xBC\x8C", ","},          //
      {"\xD9\xAB", ","},              // the Arabic decimal mark
      {"\xE3\x8F\x80", "k\xCE\xA9"},  // kilohms as one sign
      {"\xE3\x8F\x81", "M\xCE\xA9"},  // megohms
  }};
  std::string usual;
  while (!text.empty()) {
    const auto like = std::find_if(kLike.begin(), kLike.end(),
                                   [&](const auto& pair) { return text.starts_with(pair.first); });
    if (like != kLike.end()) {
      usual += like->second;
      text.remove_prefix(like->first.size());
    } else if (text.starts_with("\xEF\xBC") && text.size() > 2 && text[2] >= '\x90' && text[2] <= '\x99') {
      usual += static_cast<char>(text[2] - '\x90' + '0');  // a full-width digit
      text.remove_prefix(3);
    } else {
      usual += text.front();
      text.remove_prefix(1);
    }
  }
  return usual;
}

}  // namespace lugwise::intake::inside
