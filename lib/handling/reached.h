// How far a long search is, for whoever shows that.
#pragma once

#include <cstddef>
#include <functional>

namespace lugwise {

// Called again and again with so much done of so much, on the thread that searches; `of` is 0 where what is left can't be
// told, and another `of` begins another part of the work. It must not throw.
using Reached = std::function<void(std::size_t done, std::size_t of)>;

}  // namespace lugwise
