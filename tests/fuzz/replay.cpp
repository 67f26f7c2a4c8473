// Feeds a fuzz target its seeds, then broken copies of them, the same ones on every run.
//
//   fuzz_netlist SEED_FOLDER_OR_FILE... [COPIES]
//
// COPIES (200 if not given) is how many broken copies of each seed follow it. A crash, a sanitizer report or
// a hang is the failure; before each input nothing is printed, so rerun with one seed file to find the
// culprit.

#include <algorithm>
#include <charconv>
#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <random>
#include <string>
#include <string_view>
#include <vector>

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size);

namespace {

namespace fs = std::filesystem;

void feed(const std::string& input) {
  LLVMFuzzerTestOneInput(reinterpret_cast<const std::uint8_t*>(input.data()), input.size());
}

// A few small injuries: the kinds a slip of the keyboard or a cut-off file makes, and some no keyboard makes.
std::string broken(std::string text, const std::string& other, std::mt19937& random) {
  const auto below = [&random](std::size_t limit) { return limit == 0 ? 0 : random() % limit; };
  constexpr std::string_view kMarks = "[]{}:,-#&*!|>'\"%@` \n\t09kM.\\\0\x80\xff";
  for (auto injuries = 1 + below(4); injuries > 0; --injuries) {
    const auto at = below(text.size() + 1);
    switch (below(6)) {
      case 0:
        text.erase(at, 1 + below(8));
        break;
      case 1:
        text.insert(at, 1, kMarks[below(kMarks.size())]);
        break;
      case 2:
        text.insert(at, text.substr(below(text.size() + 1), below(40)));
        break;
      case 3:
        text.resize(at);
        break;
      case 4:
        text.insert(at, other.substr(below(other.size() + 1), below(80)));
        break;
      default:
        if (at < text.size()) text[at] = static_cast<char>(below(256));
    }
  }
  return text;
}

}  // namespace

int main(int count, char** arguments) {
  std::vector<fs::path> files;
  std::size_t copies = 200;
  for (const std::string_view argument : std::vector<std::string_view>(arguments + 1, arguments + count)) {
    std::size_t number = 0;
    const auto* end = argument.data() + argument.size();
    if (std::from_chars(argument.data(), end, number).ptr == end) {
      copies = number;
    } else if (fs::is_directory(argument)) {
      for (const auto& entry : fs::directory_iterator(argument)) files.push_back(entry.path());
    } else {
      files.emplace_back(argument);
    }
  }
  std::sort(files.begin(), files.end());  // the order of a folder is not the same everywhere

  std::vector<std::string> seeds;
  for (const auto& file : files) {
    std::ifstream stream(file, std::ios::binary);
    if (!stream) {
      std::fprintf(stderr, "cannot read %s\n", file.c_str());
      return 2;
    }
    seeds.emplace_back(std::istreambuf_iterator<char>(stream), std::istreambuf_iterator<char>());
  }
  if (seeds.empty()) {
    std::fprintf(stderr, "no seeds given\n");
    return 2;
  }

  std::mt19937 random(1);
  for (const auto& seed : seeds) {
    feed(seed);
    for (std::size_t copy = 0; copy < copies; ++copy)
      feed(broken(seed, seeds[random() % seeds.size()], random));
  }
  std::printf("%zu seeds, %zu inputs\n", seeds.size(), seeds.size() * (copies + 1));
}
