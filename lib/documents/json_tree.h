#ifndef TAREWISE_LIB_DOCUMENTS_JSON_TREE_H_
#define TAREWISE_LIB_DOCUMENTS_JSON_TREE_H_

#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "tarewise/version.h"

namespace tarewise::inline TW_VERSIONED::load {

class Findings;
class Tree;

enum class Kind : std::uint8_t { kNothing, kNull, kFalse, kTrue, kNumber, kString, kArray, kObject };

/// A value of a document: a cheap handle, or none. Values keep the text of numbers, so that nothing is rounded.
class Value {
 public:
  Value() = default;
  explicit operator bool() const { return tree_ != nullptr; }

  Kind kind() const;
  bool is(Kind kind) const { return this->kind() == kind; }
  /// A string's characters, or a number as written.
  std::string_view text() const;
  /// The key under which an object holds this value.
  std::string_view key() const;
  std::size_t offset() const;
  std::size_t key_offset() const;
  /// How many values a list or an object holds.
  std::size_t size() const;
  Value first() const;
  /// What an object holds under a key; none where there is no such, or this is no object. Linear in its members.
  Value Member(std::string_view key) const;
  Value next() const;
  std::string Pointer() const;
  std::uint32_t index() const { return index_; }

  /// Over the values of a list or an object.
  class Iterator;
  Iterator begin() const;
  Iterator end() const;

 private:
  friend class Tree;
  friend class TreeBuilder;
  Value(const Tree* tree, std::uint32_t index) : tree_(tree), index_(index) {}
  const Tree* tree_ = nullptr;
  std::uint32_t index_ = 0;
};

class Value::Iterator {
 public:
  explicit Iterator(Value at) : at_(at) {}
  Value operator*() const { return at_; }
  Iterator& operator++() {
    at_ = at_.next();
    return *this;
  }
  bool operator!=(const Iterator& other) const { return static_cast<bool>(at_) != static_cast<bool>(other.at_); }

 private:
  Value at_;
};

inline Value::Iterator Value::begin() const { return Iterator(first()); }
inline Value::Iterator Value::end() const { return Iterator(Value()); }
inline Value Value::Member(std::string_view key) const {
  if (!is(Kind::kObject)) return {};
  for (const Value member : *this) {
    if (member.key() == key) return member;
  }
  return {};
}

/// A JSON document as a tree in which every value and key knows its place in the text.
class Tree {
 public:
  /// Reads `text`, which must outlive this. Syntax errors, duplicate keys and passed limits go to `findings`. True
  /// where the whole text is one value.
  bool Parse(std::string_view text, Findings& findings);

  Value root() const { return nodes_.empty() ? Value() : Value(this, 0); }
  Value at(std::uint32_t index) const { return Value(this, index); }
  /// The value at a JSON pointer, or none.
  Value Find(std::string_view pointer) const;

 private:
  friend class Value;
  friend class TreeBuilder;
  static constexpr std::uint32_t kNone = 0xFFFFFFFF;
  struct Node {
    std::uint32_t offset = 0;
    std::uint32_t length = 0;  // bytes of a number or of a string within its quotation marks; else the number of values
    std::uint32_t parent = kNone;
    std::uint32_t next = kNone;
    std::uint32_t first = kNone;
    std::uint32_t key_offset = kNone;
    std::uint32_t key_length = 0;
    Kind kind = Kind::kNothing;
    bool escaped = false;
    bool key_escaped = false;
  };

  std::string_view text_;
  std::vector<Node> nodes_;
  std::unordered_map<std::uint32_t, std::string> decoded_;  // strings with escapes, by offset
};

}  // namespace tarewise::inline TW_VERSIONED::load

#endif  // TAREWISE_LIB_DOCUMENTS_JSON_TREE_H_
