// Days and times, and which of two was earlier.

#include "intake/date.h"

#include <string>

#include "support/catch.h"

using namespace lugwise;

TEST_CASE("a date is one that the calendar has, with its zone or as a day alone", "[intake]") {
  for (const char* right : {"2026-11-28", "2024-02-29", "2026-11-28T14:05+01:00", "2026-11-28T14:05:09Z",
                            "2026-11-28T14:05:09-03:30"}) {
    INFO(right);
    CHECK(is_date(right));
  }
  for (const char* wrong :
       {"", "2026", "2026-11", "2026-13-01", "2026-00-10", "2026-02-29", "2026-04-31", "2026-11-00",
        "2026-11-28T", "2026-11-28T14", "2026-11-28T24:00Z", "2026-11-28T14:60Z", "2026-11-28T14:05",
        "2026-11-28T14:05+1", "2026-11-28T14:05+01:00x", "2026-11-28 14:05Z", "yesterday"}) {
    INFO(wrong);
    CHECK(!is_date(wrong));
  }
  CHECK(is_day("2026-11-28"));
  CHECK(!is_day("2026-11-28T14:05Z"));
}

TEST_CASE("an instant is the same in whatever zone it is written", "[intake]") {
  // POSIX.1-2017, 4.16: 1,000,000,000 seconds since the Epoch are 2001-09-09T01:46:40Z (as `date -u -d @1000000000` says).
  CHECK(instant_of("2001-09-09T01:46:40Z") == 1000000000);
  CHECK(instant_of("1970-01-01") == 0);
  CHECK(instant_of("1969-12-31T23:59:59Z") == -1);
  // As `date -u -d DAY +%s` says.
  CHECK(instant_of("0001-01-01") == -62135596800);
  CHECK(instant_of("1900-03-01") == -2203891200);
  CHECK(instant_of("2000-03-01") == 951868800);
  CHECK(instant_of("9999-12-31") == 253402214400);
  // The examples of RFC 3339, 5.8: the same instant at Greenwich and eight hours west of it.
  CHECK(instant_of("1996-12-19T16:39:57-08:00") == instant_of("1996-12-20T00:39:57Z"));
  CHECK(instant_of("2026-11-28T14:05+01:00") == instant_of("2026-11-28T13:05Z"));
  CHECK(instant_of("2026-11-28T08:00+09:00") < instant_of("2026-11-28T00:30Z"));
  CHECK(!instant_of("soon"));
}
