#include "json_tree.h"

#include <algorithm>
#include <cstring>
#include <utility>

#include "findings.h"
#include "nlohmann/json.hpp"
#include "text.h"

namespace tarewise::inline TW_VERSIONED::load {
namespace {

constexpr std::size_t kDeepest = 64;
constexpr std::size_t kMostValues = 4'000'000;

bool IsJsonSpace(char c) { return c == ' ' || c == '\t' || c == '\n' || c == '\r'; }
bool IsDigit(char c) { return c >= '0' && c <= '9'; }
bool IsLetter(char c) { return (c >= 'a' && c <= 'z') || (c >= 'A' && c <= 'Z'); }
bool IsNumberChar(char c) { return IsDigit(c) || c == '.' || c == '-' || c == '+'; }

// The length of the JSON number at `at`; 0 where there is none.
std::size_t NumberLength(std::string_view text, std::size_t at) {
  std::size_t end = at;
  const auto digits = [&] {
    const std::size_t before = end;
    while (end < text.size() && IsDigit(text[end])) ++end;
    return end > before;
  };
  if (end < text.size() && text[end] == '-') ++end;
  if (end < text.size() && text[end] == '0') {
    ++end;
  } else if (!digits()) {
    return 0;
  }
  if (end < text.size() && text[end] == '.') {
    ++end;
    if (!digits()) return 0;
  }
  if (end < text.size() && (text[end] == 'e' || text[end] == 'E')) {
    ++end;
    if (end < text.size() && (text[end] == '+' || text[end] == '-')) ++end;
    if (!digits()) return 0;
  }
  return end - at;
}

std::string ByteName(char c) {
  constexpr char kHex[] = "0123456789ABCDEF";
  const auto byte = static_cast<unsigned char>(c);
  if (c == '\n') return "a line break";
  if (c == '\t') return "a tab";
  return std::string("the byte 0x") + kHex[byte >> 4] + kHex[byte & 15];
}

// What stands at `at` where something else was expected.
std::string TokenFound(std::string_view text, std::size_t at) {
  if (at >= text.size()) return "found the end of the document";
  const char c = text[at];
  if (static_cast<unsigned char>(c) < 0x20 || c == 0x7F) return "found " + ByteName(c);
  if (c == '"') {
    const std::size_t end = text.find('"', at + 1);
    return "found the string " + Quoted(text.substr(at + 1, end == std::string_view::npos ? end : end - at - 1));
  }
  std::size_t end = at + 1;
  constexpr std::string_view kMarks = "{}[],:\"";
  if (kMarks.find(c) == std::string_view::npos) {
    while (end < text.size() && !IsJsonSpace(text[end]) && kMarks.find(text[end]) == std::string_view::npos) ++end;
  }
  // A bare word is shown as it stands, so that it is not taken for a string.
  const std::string token = Quoted(text.substr(at, end - at));
  return "found " + (kMarks.find(c) == std::string_view::npos ? token.substr(1, token.size() - 2) : token);
}

}  // namespace

// Takes the parser's events and follows them in the text: an event comes only after its token was read without error,
// so that the token's place is found by skipping what may stand between tokens.
class TreeBuilder {
 public:
  TreeBuilder(Tree& tree, std::string_view text, std::size_t begin, Findings& findings)
      : tree_(tree), text_(text), findings_(findings), at_(begin) {}

  bool null() { return Literal(Kind::kNull, 4); }
  bool boolean(bool value) { return value ? Literal(Kind::kTrue, 4) : Literal(Kind::kFalse, 5); }
  bool number_integer(std::int64_t) { return Number(); }
  bool number_unsigned(std::uint64_t) { return Number(); }
  bool number_float(double, const std::string&) { return Number(); }
  bool binary(nlohmann::json::binary_t&) { return false; }

  bool string(std::string& value) {
    Skip();
    const std::size_t at = at_;
    const bool escaped = TakeString(value);
    const std::uint32_t index = NewNode(Kind::kString, at);
    if (index == Tree::kNone) return false;
    tree_.nodes_[index].length = static_cast<std::uint32_t>(at_ - at - 2);
    tree_.nodes_[index].escaped = escaped;
    if (escaped) tree_.decoded_.emplace(static_cast<std::uint32_t>(at), std::move(value));
    return true;
  }

  bool key(std::string& value) {
    Skip();
    key_offset_ = static_cast<std::uint32_t>(at_);
    key_escaped_ = TakeString(value);
    key_length_ = static_cast<std::uint32_t>(at_ - key_offset_ - 2);
    if (key_escaped_) tree_.decoded_.emplace(key_offset_, std::move(value));
    state_ = State::kAfterKey;
    return true;
  }

  bool start_object(std::size_t) { return Open(Kind::kObject, State::kAfterOpenObject); }
  bool start_array(std::size_t) { return Open(Kind::kArray, State::kAfterOpenArray); }
  bool end_object() {
    FindDuplicateKeys(stack_.back().node);
    return Close();
  }
  bool end_array() { return Close(); }

  bool parse_error(std::size_t, const std::string&, const nlohmann::json::exception&) {
    ReportSyntax();
    return false;
  }

  // After the parser is content: nothing but space may follow (it takes a zero byte for the end).
  bool AtEnd() {
    while (at_ < text_.size() && IsJsonSpace(text_[at_])) ++at_;
    if (at_ == text_.size()) return true;
    ReportSyntax();
    return false;
  }

 private:
  enum class State { kStart, kAfterKey, kAfterOpenObject, kAfterOpenArray, kAfterValue };
  struct Frame {
    std::uint32_t node;
    std::uint32_t last;
  };

  Value Container() const { return stack_.empty() ? Value() : Value(&tree_, stack_.back().node); }

  void Skip() {
    while (at_ < text_.size() && (IsJsonSpace(text_[at_]) || text_[at_] == ',' || text_[at_] == ':')) ++at_;
  }

  // Moves past the string at `at_`; whether it has escapes.
  bool TakeString(const std::string& value) {
    const std::size_t begin = at_ + 1;
    const std::size_t end = begin + value.size();
    if (end < text_.size() && text_[end] == '"' && std::memcmp(text_.data() + begin, value.data(), value.size()) == 0 &&
        value.find('\\') == std::string::npos) {
      at_ = end + 1;
      return false;
    }
    std::size_t at = begin;
    while (at < text_.size() && text_[at] != '"') at += text_[at] == '\\' ? 2 : 1;
    at_ = at + 1;
    return true;
  }

  std::uint32_t NewNode(Kind kind, std::size_t offset) {
    if (tree_.nodes_.size() >= kMostValues) {
      findings_.Error(kTooManyValues, offset, Value(), "found more than 4000000 values, expected a smaller document");
      return Tree::kNone;
    }
    const auto index = static_cast<std::uint32_t>(tree_.nodes_.size());
    Tree::Node& node = tree_.nodes_.emplace_back();
    node.kind = kind;
    node.offset = static_cast<std::uint32_t>(offset);
    if (!stack_.empty()) {
      Frame& frame = stack_.back();
      node.parent = frame.node;
      Tree::Node& parent = tree_.nodes_[frame.node];
      if (parent.kind == Kind::kObject) {
        node.key_offset = key_offset_;
        node.key_length = key_length_;
        node.key_escaped = key_escaped_;
      }
      (frame.last == Tree::kNone ? parent.first : tree_.nodes_[frame.last].next) = index;
      ++parent.length;
      frame.last = index;
    }
    state_ = State::kAfterValue;
    return index;
  }

  bool Literal(Kind kind, std::size_t length) {
    Skip();
    const std::size_t at = at_;
    at_ += length;
    return NewNode(kind, at) != Tree::kNone;
  }

  bool Number() {
    Skip();
    const std::size_t at = at_;
    const std::size_t length = NumberLength(text_, at);
    at_ += length;
    const std::uint32_t index = NewNode(Kind::kNumber, at);
    if (index == Tree::kNone) return false;
    tree_.nodes_[index].length = static_cast<std::uint32_t>(length);
    return true;
  }

  bool Open(Kind kind, State state) {
    Skip();
    if (stack_.size() == kDeepest) {
      findings_.Error(kTooDeep, at_, Container(),
                      "found lists and objects nested more than 64 deep, expected at most 64");
      return false;
    }
    const std::uint32_t index = NewNode(kind, at_);
    if (index == Tree::kNone) return false;
    ++at_;
    stack_.push_back({index, Tree::kNone});
    state_ = state;
    return true;
  }

  bool Close() {
    Skip();
    ++at_;
    stack_.pop_back();
    state_ = State::kAfterValue;
    return true;
  }

  void FindDuplicateKeys(std::uint32_t object) {
    constexpr std::size_t kFew = 12;
    const Value value(&tree_, object);
    if (value.size() < 2) return;
    keys_.clear();
    for (const Value member : value) keys_.push_back(member);
    if (keys_.size() > kFew) {
      std::stable_sort(keys_.begin(), keys_.end(), [](const Value& a, const Value& b) { return a.key() < b.key(); });
      for (std::size_t i = 1; i < keys_.size(); ++i) {
        if (keys_[i].key() == keys_[i - 1].key()) ReportDuplicate(keys_[i - 1], keys_[i]);
      }
      return;
    }
    for (std::size_t i = 1; i < keys_.size(); ++i) {
      for (std::size_t j = 0; j < i; ++j) {
        if (keys_[i].key() != keys_[j].key()) continue;
        ReportDuplicate(keys_[j], keys_[i]);
        break;
      }
    }
  }

  void ReportDuplicate(Value first, Value second) {
    findings_.Error(kDuplicateKey, second.key_offset(), second,
                    "found the key " + Quoted(second.key()) +
                        " twice in one object, expected it once (the first is on line " +
                        std::to_string(findings_.At(first.key_offset()).line) + ")");
  }

  void ReportSyntax() {
    const auto skip_space = [this] {
      while (at_ < text_.size() && IsJsonSpace(text_[at_])) ++at_;
    };
    skip_space();
    const auto at = [this](char c) { return at_ < text_.size() && text_[at_] == c; };
    const bool in_object = !stack_.empty() && tree_.nodes_[stack_.back().node].kind == Kind::kObject;
    std::string expected;
    bool value_expected = false;
    bool key_expected = false;
    switch (state_) {
      case State::kStart:
        if (at_ == text_.size()) {
          findings_.Error(kEmptyDocument, at_, Value(), "found an empty document, expected a JSON object");
          return;
        }
        expected = "a JSON object";
        value_expected = true;
        break;
      case State::kAfterKey:
        if (at(':')) {
          ++at_;
          skip_space();
          expected = "a value";
          value_expected = true;
        } else {
          expected = "\":\" after the key";
        }
        break;
      case State::kAfterOpenObject:
        expected = "a key in quotation marks or \"}\"";
        key_expected = true;
        break;
      case State::kAfterOpenArray:
        expected = "a value or \"]\"";
        value_expected = true;
        break;
      case State::kAfterValue:
        if (stack_.empty()) {
          expected = "the end of the document";
        } else if (!at(',')) {
          expected = in_object ? "\",\" or \"}\"" : "\",\" or \"]\"";
        } else {
          ++at_;
          skip_space();
          expected = in_object ? "a key in quotation marks after the comma" : "a value after the comma";
          (in_object ? key_expected : value_expected) = true;
        }
        break;
    }
    const Value pointer = Container();
    if (at('/') && at_ + 1 < text_.size() && (text_[at_ + 1] == '/' || text_[at_ + 1] == '*')) {
      findings_.Error(kComment, at_, pointer, "found a comment, expected " + expected + " (comments are not allowed)");
      return;
    }
    if (at('"') && (value_expected || key_expected)) {
      ReportString(pointer);
      return;
    }
    if (value_expected && NumberLength(text_, at_) > 0) {
      findings_.Error(kBadNumber, at_, pointer, TokenFound(text_, at_) + ", expected a number, not so large");
      return;
    }
    // "07.50" is read as 0 and what cannot follow it: what people mean is one number.
    std::size_t begin = at_;
    while (state_ == State::kAfterValue && begin > 0 && at_ < text_.size() && IsNumberChar(text_[at_]) &&
           IsNumberChar(text_[begin - 1])) {
      --begin;
    }
    if (begin < at_ || (value_expected && at_ < text_.size() && IsNumberChar(text_[at_]))) {
      findings_.Error(kBadNumber, begin, pointer, TokenFound(text_, begin) + ", expected a number such as 7.50 or 0.5");
      return;
    }
    if (value_expected && at_ < text_.size() && (IsLetter(text_[at_]) || text_[at_] == '\'')) {
      expected += " (text stands in quotation marks; true, false and null in small letters)";
    }
    findings_.Error(kSyntax, at_, pointer, TokenFound(text_, at_) + ", expected " + expected);
  }

  // The first fault of the string at `at_`.
  void ReportString(Value pointer) {
    std::size_t i = at_ + 1;
    while (i < text_.size() && text_[i] != '"') {
      if (static_cast<unsigned char>(text_[i]) < 0x20) {
        findings_.Error(kBadString, i, pointer,
                        "found " + ByteName(text_[i]) + " within a string, expected its closing quotation mark" +
                            (text_[i] == '\n' ? "" : " or an escape such as \"\\u0009\""));
        return;
      }
      if (text_[i] != '\\') {
        ++i;
        continue;
      }
      constexpr std::string_view kEscapes = "\"\\/bfnrtu";
      const char escape = i + 1 < text_.size() ? text_[i + 1] : '\0';
      if (escape == '\0' || kEscapes.find(escape) == std::string_view::npos) {
        findings_.Error(kBadString, i, pointer,
                        "found the escape " + Quoted(text_.substr(i, 2)) +
                            ", expected one of \\\" \\\\ \\/ \\b \\f \\n \\r \\t \\u and four hexadecimal digits");
        return;
      }
      if (escape != 'u') {
        i += 2;
        continue;
      }
      const std::optional<unsigned> unit = HexUnit(i);
      const bool high = unit && *unit >= 0xD800 && *unit <= 0xDBFF;
      const std::optional<unsigned> second = high ? HexUnit(i + 6) : std::nullopt;
      if (!unit || (*unit >= 0xDC00 && *unit <= 0xDFFF) ||
          (high && (!second || *second < 0xDC00 || *second > 0xDFFF))) {
        findings_.Error(kBadString, i, pointer,
                        "found the escape " + Quoted(text_.substr(i, 6)) +
                            ", expected \\u and four hexadecimal digits, of a whole character");
        return;
      }
      i += high ? 12 : 6;
    }
    findings_.Error(kBadString, at_, pointer, "found a string without an end, expected its closing quotation mark");
  }

  std::optional<unsigned> HexUnit(std::size_t at) const {
    if (text_.size() < at + 6 || text_[at] != '\\' || text_[at + 1] != 'u') return std::nullopt;
    unsigned value = 0;
    for (std::size_t i = at + 2; i < at + 6; ++i) {
      const char c = text_[i];
      const unsigned digit = IsDigit(c)             ? static_cast<unsigned>(c - '0')
                             : c >= 'a' && c <= 'f' ? static_cast<unsigned>(c - 'a' + 10)
                             : c >= 'A' && c <= 'F' ? static_cast<unsigned>(c - 'A' + 10)
                                                    : 16;
      if (digit == 16) return std::nullopt;
      value = value * 16 + digit;
    }
    return value;
  }

  Tree& tree_;
  std::string_view text_;
  Findings& findings_;
  std::size_t at_;  // after the last token
  State state_ = State::kStart;
  std::vector<Frame> stack_;
  std::vector<Value> keys_;
  std::uint32_t key_offset_ = 0;
  std::uint32_t key_length_ = 0;
  bool key_escaped_ = false;
};

bool Tree::Parse(std::string_view text, Findings& findings) {
  text_ = text;
  nodes_.clear();
  decoded_.clear();
  if (!HasFormOfText(text, findings)) return false;
  if (const std::optional<std::size_t> bad = FirstNotUtf8(text)) {
    findings.Error(kNotUtf8, *bad, Value(), "found " + ByteName(text[*bad]) + ", expected UTF-8");
    return false;
  }
  const auto values = std::count_if(text.begin(), text.end(), [](char c) { return c == ',' || c == '[' || c == '{'; });
  nodes_.reserve(std::min(static_cast<std::size_t>(values) + 2, kMostValues));
  // A byte order mark is passed over, here as by the parser.
  const std::size_t begin = text.starts_with(kUtf8Mark) ? kUtf8Mark.size() : 0;
  TreeBuilder builder(*this, text, begin, findings);
  if (!nlohmann::json::sax_parse(text.data(), text.data() + text.size(), &builder)) return false;
  return builder.AtEnd();
}

Value Tree::Find(std::string_view pointer) const {
  Value at = root();
  while (at && !pointer.empty()) {
    const std::size_t end = pointer.find('/', 1);
    const std::string_view part = pointer.substr(1, end == std::string_view::npos ? end : end - 1);
    pointer = end == std::string_view::npos ? std::string_view() : pointer.substr(end);
    std::size_t i = 0;
    Value found;
    for (const Value member : at) {
      if (at.is(Kind::kObject) ? member.key() == part : std::to_string(i) == part) {
        found = member;
        break;
      }
      ++i;
    }
    at = found;
  }
  return at;
}

Kind Value::kind() const { return tree_ == nullptr ? Kind::kNothing : tree_->nodes_[index_].kind; }

std::string_view Value::text() const {
  const Tree::Node& node = tree_->nodes_[index_];
  if (node.kind != Kind::kString && node.kind != Kind::kNumber) return {};
  if (node.escaped) return tree_->decoded_.at(node.offset);
  return tree_->text_.substr(node.offset + (node.kind == Kind::kString ? 1 : 0), node.length);
}

std::string_view Value::key() const {
  const Tree::Node& node = tree_->nodes_[index_];
  if (node.key_offset == Tree::kNone) return {};
  if (node.key_escaped) return tree_->decoded_.at(node.key_offset);
  return tree_->text_.substr(node.key_offset + 1, node.key_length);
}

std::size_t Value::offset() const { return tree_->nodes_[index_].offset; }

std::size_t Value::key_offset() const {
  const Tree::Node& node = tree_->nodes_[index_];
  return node.key_offset == Tree::kNone ? node.offset : node.key_offset;
}

std::size_t Value::size() const {
  const Tree::Node& node = tree_->nodes_[index_];
  return node.kind == Kind::kArray || node.kind == Kind::kObject ? node.length : 0;
}

Value Value::first() const {
  if (tree_ == nullptr || tree_->nodes_[index_].first == Tree::kNone) return {};
  return Value(tree_, tree_->nodes_[index_].first);
}

Value Value::next() const {
  const std::uint32_t next = tree_->nodes_[index_].next;
  return next == Tree::kNone ? Value() : Value(tree_, next);
}

std::string Value::Pointer() const {
  std::vector<std::string> parts;
  for (std::uint32_t at = index_; tree_->nodes_[at].parent != Tree::kNone; at = tree_->nodes_[at].parent) {
    const Tree::Node& parent = tree_->nodes_[tree_->nodes_[at].parent];
    if (parent.kind == Kind::kObject) {
      std::string part;
      for (const char c : Value(tree_, at).key()) {
        if (c == '~') {
          part += "~0";
        } else if (c == '/') {
          part += "~1";
        } else {
          part += static_cast<unsigned char>(c) < 0x20 ? '?' : c;
        }
      }
      parts.push_back(std::move(part));
    } else {
      std::size_t i = 0;
      for (std::uint32_t before = parent.first; before != at; before = tree_->nodes_[before].next) ++i;
      parts.push_back(std::to_string(i));
    }
  }
  std::string pointer;
  for (auto part = parts.rbegin(); part != parts.rend(); ++part) pointer += "/" + *part;
  return pointer;
}

}  // namespace tarewise::inline TW_VERSIONED::load
