// Files as text.
#pragma once

#include <string>
#include <string_view>

#include <sys/stat.h>

namespace lugwise::app {

// Throws BadInput where it can't be read. Of an endless one only as much as shows that it is too large for a reader. A pipe
// that nobody writes to is waited for two seconds.
std::string read_file(const std::string& path);

// A file as seen from a folder, whatever this program was started in: what another file in that folder calls it.
std::string seen_from(const std::string& folder, const std::string& file);

// The folder that a file lies in.
std::string folder_of(const std::string& file);

// What a path leads to, in words: "a file", "a folder", "a pipe", "a device", "a link that leads nowhere"; empty: nothing
// is there.
std::string kind_of(const std::string& path);

// Why a file could not be written there, as far as can be told before it is tried; empty: it probably can.
std::string why_unwritable(const std::string& path);

// How every file is written: a new one, made beside the one that it will replace, in its mode from the first byte on and never
// through a link; then it takes that one's place, on the disk. Until it has, its end removes it, and so does a signal that can be
// heeded: there is never half a file. One draft at a time.
class Draft {
 public:
  // Of the file `place`, links followed, in its folder; `like` is what it replaces, if anything: owner and mode stay. `name` is a
  // path of its own for the draft, or empty for one nobody has. What there is of that name goes: a draft of a run that was
  // killed, or somebody's link to elsewhere.
  Draft(const std::string& place, const struct stat* like, const std::string& name = {});
  ~Draft();
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;

  // Each: 0, or the errno of what failed; the first that did is that of all that follow.
  int state() const { return failed_; }
  int write(std::string_view text);  // all of it, on the disk
  int take_place();                  // of the file, and on the disk

  bool placed() const { return placed_; }  // even where it may not be on the disk yet
  int descriptor() const { return file_; }
  int release();  // the descriptor, open: the caller's from now on

 private:
  std::string place_, path_;
  int file_ = -1;
  int failed_ = 0;
  bool made_ = false, placed_ = false;
};

// Writes beside it, in its mode from the first byte on, and then takes its place, on the disk when this returns: there is
// never half a file, and no signal that can be heeded leaves one beside it. Throws BadInput where it can't be written;
// what was there before is then as it was. A pipe or a terminal is written to as it is; refused are a disk, a pipe that
// nobody reads from, and a file that has other names too, as those would keep what was.
void write_file(const std::string& path, const std::string& text);

}  // namespace lugwise::app
