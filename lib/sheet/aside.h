// Why something is kept in a record and not weighed.
#pragma once

#include <cstddef>
#include <string>
#include <string_view>

namespace lugwise {

struct Aside {
  enum class Kind {
    Not,           // it is weighed
    TakenAgain,    // another reading took its place
    Undone,        // it was typed by mistake
    AnotherMeter,  // the meter in use could not have shown it
    PassedOver,    // a preparation that was not done
    Mended,        // it was wrong before a repair, or the repair may have changed it
    BeforeRepair,  // something is wrong since a repair, which may have disturbed what it went through
    Said,          // as a person says
  };
  Kind kind = Kind::Not;
  std::size_t repair = 0;  // Mended, BeforeRepair: the how-many-th of the record, from 1
  std::string reason;      // a person's own words; only Said needs them

  explicit operator bool() const { return kind != Kind::Not; }
  bool is(Kind of) const { return kind == of; }
  friend bool operator==(const Aside&, const Aside&) = default;
};

Aside mended_by(std::size_t repair);
Aside before_repair(std::size_t repair);

// "taken again", "repair 2"; a person's own words where there are some.
std::string in_words(const Aside& aside);

// What a readings file says of it: the same words whatever the person says; of Said the person's.
std::string word_of(const Aside& aside);
Aside find_aside(std::string_view words);  // whatever is no such word is the person's own reason

}  // namespace lugwise
