// Whether this build runs many times slower than a release build, so that long loops are thinned.
#pragma once

namespace lugwise {

#if defined(__SANITIZE_ADDRESS__)
inline constexpr bool kSlowBuild = true;
#elif defined(__has_feature)
inline constexpr bool kSlowBuild = __has_feature(address_sanitizer);
#else
inline constexpr bool kSlowBuild = false;
#endif

}  // namespace lugwise
