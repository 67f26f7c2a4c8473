#include "exercise/seal.h"

#include <cstring>
#include <stdexcept>

#include "exercise/inside/digest.h"
#include "fault/naming.h"

namespace lugwise {

using namespace exercise::inside;
namespace {

constexpr std::size_t kSalt = 8;
constexpr std::size_t kId = 7;
constexpr std::size_t kIll = kId + 8 + 1;
constexpr std::size_t kMostIlls = 2;
constexpr std::size_t kContent = 8 + 1 + kMostIlls * kIll;
constexpr std::size_t kCheck = 8;
constexpr std::size_t kWhole = kSalt + kContent + kCheck;

void put(std::string& bytes, std::uint64_t number) {
  for (int shift = 56; shift >= 0; shift -= 8) bytes += static_cast<char>(number >> shift & 0xff);
}

std::uint64_t number_at(std::string_view bytes, std::size_t at) {
  std::uint64_t number = 0;
  for (std::size_t i = 0; i < 8; ++i) number = number << 8 | static_cast<std::uint8_t>(bytes[at + i]);
  return number;
}

// The same again opens it.
std::string stirred(std::string_view content, std::string_view salt) {
  std::string result;
  for (std::size_t at = 0; at < content.size(); at += 32) {
    const Digest pad = digest("lugwise exercise " + std::string(salt) + std::to_string(at / 32));
    for (std::size_t i = at; i < content.size() && i < at + 32; ++i)
      result += static_cast<char>(static_cast<std::uint8_t>(content[i]) ^ pad[i - at]);
  }
  return result;
}

std::string check_of(std::string_view content, std::string_view salt) {
  std::string check;
  put(check, digest_number("whole " + std::string(salt) + std::string(content)));
  return check;
}

}  // namespace

std::string sealed(const Sealed& content, std::uint64_t salt_number) {
  if (content.ills.size() > kMostIlls) throw std::logic_error("a seal holds two faults at most");
  std::string bytes;
  put(bytes, content.seed);
  bytes += static_cast<char>(content.ills.size());
  for (std::size_t i = 0; i < kMostIlls; ++i) {
    const Sealed::Ill ill =
        i < content.ills.size() ? content.ills[i] : Sealed::Ill{std::string(kId, ' '), 0, false};
    if (ill.fault.size() != kId) throw std::logic_error("a fault's id has seven letters");
    bytes += ill.fault;
    std::uint64_t size = 0;
    std::memcpy(&size, &ill.size, sizeof size);
    put(bytes, size);
    bytes += static_cast<char>(ill.comes_and_goes ? 1 : 0);
  }
  std::string salt;
  put(salt, salt_number);
  const std::string whole = salt + stirred(bytes + check_of(bytes, salt), salt);
  static constexpr char kDigits[] = "0123456789abcdef";
  std::string text;
  for (const char byte : whole) {
    text += kDigits[static_cast<std::uint8_t>(byte) >> 4];
    text += kDigits[static_cast<std::uint8_t>(byte) & 15];
  }
  return text;
}

std::string seal_of(const Harness& harness, const std::vector<Fault>& faults, const Exercise& exercise) {
  Sealed content;
  content.seed = exercise.instrument;
  for (const Ailment& each : exercise.ailments)
    content.ills.push_back({fault_id(harness, faults[each.fault]), each.size, each.comes_and_goes});
  return sealed(content, exercise.salt);
}

std::optional<Sealed> opened(std::string_view seal) {
  if (seal.size() != 2 * kWhole) return std::nullopt;
  std::string whole;
  for (std::size_t i = 0; i < seal.size(); i += 2) {
    int byte = 0;
    for (const char digit : seal.substr(i, 2)) {
      const bool number = digit >= '0' && digit <= '9';
      if (!number && !(digit >= 'a' && digit <= 'f')) return std::nullopt;
      byte = byte * 16 + (number ? digit - '0' : digit - 'a' + 10);
    }
    whole += static_cast<char>(byte);
  }
  const std::string salt = whole.substr(0, kSalt);
  const std::string inner = stirred(std::string_view(whole).substr(kSalt), salt);
  const std::string_view content = std::string_view(inner).substr(0, kContent);
  if (inner.substr(kContent) != check_of(content, salt)) return std::nullopt;
  Sealed result;
  result.seed = number_at(content, 0);
  const auto count = static_cast<std::size_t>(content[8]);
  if (count > kMostIlls) return std::nullopt;
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t at = 9 + i * kIll;
    const std::uint64_t bits = number_at(content, at + kId);
    double size = 0;
    std::memcpy(&size, &bits, sizeof size);
    result.ills.push_back({std::string(content.substr(at, kId)), size, content[at + kIll - 1] != 0});
  }
  return result;
}

}  // namespace lugwise
