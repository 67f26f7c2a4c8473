#include "exercise/inside/digest.h"

#include <fmt/format.h>

#include "support/catch.h"

using namespace lugwise::exercise::inside;

namespace {

std::string hexadecimal(const Digest& bytes) {
  std::string text;
  for (const auto byte : bytes) text += fmt::format("{:02x}", byte);
  return text;
}

}  // namespace

TEST_CASE("the digest is SHA-256", "[exercise]") {
  // The examples that NIST publishes with FIPS 180-4: "abc", two blocks, and the empty message.
  CHECK(hexadecimal(digest("abc")) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(hexadecimal(digest("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq")) ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(hexadecimal(digest("")) == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
}
