// What a page says, whatever it is set in: the lines of a terminal, Markdown or HTML.
//
// All texts are plain, and may hold whatever somebody named a harness: who sets them escapes them. A document is
// made once for one answer and has no behaviour.
#pragma once

#include <string>
#include <variant>
#include <vector>

namespace lugwise::page {

// "why": "a second path stays".
struct Labelled {
  std::string label;
  std::string text;
};

// A whole <svg> element that needs nothing from outside itself, and what it shows; empty: there is none. Only HTML has it.
struct Picture {
  std::string svg;
  std::string caption;
};

// A picture of the whole, and what its letters stand for.
struct Map {
  Picture picture;
  std::vector<Labelled> places;
};

struct Paragraph {
  std::string text;
  std::size_t indent = 0;  // columns in a terminal
  std::string label = {};  // "Cleared"; empty: none
};

struct Facts {
  std::vector<Labelled> rows;
  bool to_the_right = false;  // how the labels stand in a terminal
};

struct List {
  struct Item {
    std::string text;
    std::vector<Labelled> more;
  };
  std::vector<Item> items;
};

// What is filled in by hand, on paper or in the page: fields to write in, boxes to tick.
struct Blanks {
  std::vector<std::string> fields;
  std::vector<std::string> boxes;
  bool wide = false;  // whole lines
};

// One thing to do, and what should come of it. Without a number it is advice.
struct Step {
  std::string number;
  std::string before;              // what to set first
  std::vector<std::string> to_do;  // a sentence or two each
  std::string range, shows;        // what should stand on the display; empty: nothing is read
  std::vector<std::string> notes;  // what to mind
  std::vector<Labelled> signs;     // what each display means: "right", "lower"
  Picture picture;
  Blanks blanks;
};

// Steps as the rows of one table, many to a page. Of what is typed into a row HTML says whether it agrees, keeps it as a
// file, and takes it from one again.
struct Checklist {
  // What a display may show, as it shows it: "6.04k", "OL". Empty: a number is not judged.
  struct Limits {
    std::string low, high;
  };
  // What is written down at a row. Watched is a box to tick for each way it can go, the right one first.
  enum class Kind { Reading, Watched, Tips, Deed };
  struct Row {
    std::string heading;           // begins what follows: "Cavity open"
    Step step;                     // its `signs` and `picture` have no place in a row
    std::vector<Labelled> places;  // where the probes go, each with its letter in the picture
    Kind kind = Kind::Reading;
    std::string between;         // the limits in words, below what should stand on the display
    std::vector<Limits> limits;  // by blank of the step, in order
  };
  std::vector<Row> rows;
  std::string head;         // of the file that what is typed is kept in, up to its list of readings
  std::string file;         // what that file is called
  std::string over;         // what this display says above a range
  double beeps_below = 40;  // ohms
};

// Readings that were taken, each beside what a sound harness shows.
struct Readings {
  struct Row {
    std::string at;  // which end of a sweep
    std::string reads, sound;
    std::string judged;  // empty: it is not judged
    bool agrees = true;
  };
  struct Reading {
    std::string setting;  // where it differs from the one before
    std::string number;
    std::string where;
    std::vector<Row> rows;
  };
  std::vector<Reading> readings;
  bool again =
      false;  // a blank beside each that is wrong, for what it reads after the repair; only HTML has it
};

enum class Tone { Good, Bad, Unsure };
struct Verdict {
  Tone tone = Tone::Good;
  std::string text;
  std::string advice;  // what to do now; may be empty
};

// Suspects that stand or fall together.
struct Group {
  std::string name, share;
  std::vector<Labelled> suspects;  // labelled by their share
  std::string evidence;
  Picture picture;
};

// The last column may hold words, which wrap.
struct Table {
  struct Column {
    std::string title;
    std::size_t least = 0;  // columns in a terminal
    bool to_the_right = false;
  };
  std::vector<Column> columns;
  std::vector<std::vector<std::string>> rows;
};

// Lines that are shown as they are, such as a place in a file with its caret.
struct Verbatim {
  std::string text;
};

using Block = std::variant<Paragraph, Facts, List, Blanks, Step, Map, Checklist, Readings, Verdict, Group,
                           Table, Verbatim, Picture>;

struct Section {
  std::string title;   // may be empty
  bool quiet = false;  // a terminal shows no title
  bool paper = false;  // only what is printed or filed has this section
  std::vector<Block> blocks;
  bool caution = false;  // to be read before anything is touched
  bool close = false;    // many short items: in columns on paper
  bool leaf = false;     // begins a sheet of paper of its own
  bool fills = false;    // of a single sheet: its picture takes what the rest leaves
};

struct Document {
  std::string title;
  std::vector<std::string> job;  // fields that say whose this is, for paper
  std::vector<Block> opening;    // what belongs to the title
  std::vector<Section> sections;
  bool compact = false;  // as few pages as can be read at arm's length
  bool single = false;   // all of it on one sheet of paper; who makes it sees to it that it isn't too much
  std::string mark;      // stands at the foot of each printed page
};

}  // namespace lugwise::page
