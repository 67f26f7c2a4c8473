#include "plan/inside/cover.h"

#include <algorithm>
#include <cmath>
#include <numeric>
#include <unordered_map>

namespace lugwise::plan::inside {
namespace {

constexpr int kPricings = 40;
constexpr double kRounding = 1e-6;

struct Column {
  FaultSet faults;
  std::size_t name = 0;  // index of the set it came from
};

// What is still to be covered, and by what.
struct Table {
  FaultSet rows;
  std::vector<Column> columns;
};

class Search {
 public:
  Search(std::size_t faults, std::size_t most_nodes) : faults_(faults), most_nodes_(most_nodes) {}

  Cover run(Table table) {
    std::vector<std::size_t> chosen;
    reduce(table, chosen);
    best_.sets = chosen;
    for (std::size_t name : greedy(table)) best_.sets.push_back(name);
    best_.least = chosen.size();
    if (!table.rows.empty())
      best_.least += std::max(independent(table), priced(table, best_.sets.size() - chosen.size()));
    branch(table, chosen);
    if (nodes_ <= most_nodes_) best_.least = best_.sets.size();
    return best_;
  }

 private:
  // Which columns hold each row.
  std::vector<FaultSet> transposed(const Table& table) const {
    std::vector<FaultSet> holders(faults_);
    for (std::size_t row : table.rows.list()) holders[row] = FaultSet(table.columns.size());
    for (std::size_t c = 0; c < table.columns.size(); ++c) {
      for (std::size_t row : table.columns[c].faults.list()) holders[row].add(c);
    }
    return holders;
  }

  // Columns inside another go; so do rows that hold another's columns; a row's only column is taken.
  void reduce(Table& table, std::vector<std::size_t>& chosen) const {
    for (bool changed = true; changed && !table.rows.empty();) {
      changed = false;
      drop_inner_columns(table);
      const std::vector<FaultSet> holders = transposed(table);
      const std::vector<std::size_t> rows = table.rows.list();
      FaultSet taken(faults_);
      for (std::size_t row : rows) {
        if (holders[row].size() != 1 || taken.has(row)) continue;
        const Column& only = table.columns[holders[row].list().front()];
        chosen.push_back(only.name);
        taken |= only.faults;
      }
      if (!taken.empty()) {
        table.rows -= taken;
        changed = true;
        continue;
      }
      for (std::size_t outer : rows) {
        for (std::size_t inner : rows) {
          if (outer == inner || !table.rows.has(inner) || !holders[outer].contains(holders[inner])) continue;
          table.rows.drop(outer);
          changed = true;
          break;
        }
      }
    }
    if (table.rows.empty()) table.columns.clear();
  }

  static void drop_inner_columns(Table& table) {
    for (Column& column : table.columns) column.faults &= table.rows;
    std::vector<std::pair<std::size_t, std::size_t>> by_size;
    for (std::size_t c = 0; c < table.columns.size(); ++c)
      by_size.emplace_back(table.columns[c].faults.size(), c);
    std::stable_sort(by_size.begin(), by_size.end(),
                     [](const auto& x, const auto& y) { return x.first > y.first; });
    std::vector<Column> kept;
    for (const auto& [size, c] : by_size) {
      if (size == 0) break;
      Column& column = table.columns[c];
      const bool inside = std::any_of(kept.begin(), kept.end(), [&](const Column& other) {
        return other.faults.contains(column.faults);
      });
      if (!inside) kept.push_back(std::move(column));
    }
    table.columns = std::move(kept);
  }

  // Rows of which no column holds two, those with the least company first: each needs a column of its own.
  std::size_t independent(const Table& table) const {
    std::vector<std::pair<std::size_t, std::size_t>> rows;
    std::vector<FaultSet> company(faults_);
    for (std::size_t row : table.rows.list()) company[row] = FaultSet(faults_);
    for (const Column& column : table.columns) {
      for (std::size_t row : column.faults.list()) company[row] |= column.faults;
    }
    for (std::size_t row : table.rows.list()) rows.emplace_back(company[row].size(), row);
    std::sort(rows.begin(), rows.end());
    FaultSet taken(faults_);
    std::size_t count = 0;
    for (const auto& [size, row] : rows) {
      if (taken.has(row)) continue;
      ++count;
      taken |= company[row];
    }
    return count;
  }

  // Prices of the rows such that their sum, less what columns are then underpaid, is as high as a few dozen steps make it:
  // no cover takes fewer columns (Lagrange's bound on the linear relaxation). Stops early at `enough`.
  std::size_t priced(const Table& table, std::size_t enough) const {
    const std::vector<std::size_t> rows = table.rows.list();
    std::vector<std::size_t> number(faults_, 0);
    for (std::size_t r = 0; r < rows.size(); ++r) number[rows[r]] = r;
    std::vector<std::vector<std::size_t>> columns;
    std::vector<double> price(rows.size(), 1);
    for (const Column& column : table.columns) {
      columns.emplace_back();
      for (std::size_t row : column.faults.list()) columns.back().push_back(number[row]);
      for (std::size_t r : columns.back())
        price[r] = std::min(price[r], 1.0 / static_cast<double>(columns.back().size()));
    }
    double best = 0;
    double pace = 1;
    int stuck = 0;
    std::vector<double> lack(rows.size());
    for (int step = 0; step < kPricings; ++step) {
      double sum = 0;
      for (double each : price) sum += each;
      std::fill(lack.begin(), lack.end(), 1.0);
      for (const std::vector<std::size_t>& column : columns) {
        double rest = 1;
        for (std::size_t r : column) rest -= price[r];
        if (rest >= 0) continue;
        sum += rest;
        for (std::size_t r : column) lack[r] -= 1;
      }
      if (sum > best + 1e-6) {
        best = sum;
        stuck = 0;
      } else if (++stuck == 4) {
        pace /= 2;
        stuck = 0;
      }
      if (best > static_cast<double>(enough) - 1 + kRounding) return enough;
      double size = 0;
      for (double each : lack) size += each * each;
      if (size == 0) break;
      const double stride = pace * (static_cast<double>(enough) - sum) / size;
      for (std::size_t r = 0; r < price.size(); ++r) price[r] = std::max(0.0, price[r] + stride * lack[r]);
    }
    return static_cast<std::size_t>(std::ceil(best - kRounding));
  }

  std::vector<std::size_t> greedy(const Table& table) const {
    std::vector<std::size_t> chosen;
    FaultSet known(faults_);
    while (!known.contains(table.rows)) {
      const Column& best = *std::max_element(
          table.columns.begin(), table.columns.end(), [&](const Column& x, const Column& y) {
            return count_fresh(x.faults.words().data(), known) < count_fresh(y.faults.words().data(), known);
          });
      chosen.push_back(best.name);
      known |= best.faults;
    }
    return chosen;
  }

  void branch(Table table, std::vector<std::size_t> chosen) {
    if (++nodes_ > most_nodes_) return;
    reduce(table, chosen);
    if (table.rows.empty()) {
      if (chosen.size() < best_.sets.size()) best_.sets = chosen;
      return;
    }
    if (chosen.size() + independent(table) >= best_.sets.size()) return;
    const std::size_t enough = best_.sets.size() - chosen.size();
    if (priced(table, enough) >= enough) return;
    const std::vector<FaultSet> holders = transposed(table);
    const std::vector<std::size_t> rows = table.rows.list();
    const std::size_t row = *std::min_element(rows.begin(), rows.end(), [&](std::size_t x, std::size_t y) {
      return holders[x].size() < holders[y].size();
    });
    // Columns stand by size: the most promising is tried first, and is out of the question afterwards.
    std::vector<std::size_t> tried;
    for (std::size_t c : holders[row].list()) {
      Table rest;
      rest.rows = table.rows;
      rest.rows -= table.columns[c].faults;
      for (std::size_t other = 0; other < table.columns.size(); ++other) {
        if (other != c && std::find(tried.begin(), tried.end(), other) == tried.end())
          rest.columns.push_back(table.columns[other]);
      }
      std::vector<std::size_t> with = chosen;
      with.push_back(table.columns[c].name);
      if (coverable(rest)) branch(std::move(rest), std::move(with));
      tried.push_back(c);
    }
  }

  bool coverable(const Table& table) const {
    FaultSet all(faults_);
    for (const Column& column : table.columns) all |= column.faults;
    return all.contains(table.rows);
  }

  std::size_t faults_;
  std::size_t most_nodes_;
  std::size_t nodes_ = 0;
  Cover best_;
};

}  // namespace

Cover smallest_cover(const std::vector<FaultSet>& sets, const FaultSet& wanted, std::size_t most_nodes) {
  Table table;
  table.rows = wanted;
  std::unordered_map<FaultSet, std::size_t, HashFaultSet> known;
  for (std::size_t s = 0; s < sets.size(); ++s) {
    FaultSet useful = sets[s];
    useful &= wanted;
    if (!useful.empty() && known.emplace(useful, s).second) table.columns.push_back({std::move(useful), s});
  }
  return Search(wanted.words().size() * 64, most_nodes).run(std::move(table));
}

}  // namespace lugwise::plan::inside
