// How the days of a wall chart share the sheet: sizes of type, widths of columns, heights of rows,
// and which marks have no room in their day.
#pragma once

#include <array>
#include <functional>
#include <map>
#include <optional>
#include <tuple>
#include <vector>

#include "paper/wall_cell.h"

namespace trencher::paper {

struct WallGrid {
  WallType type;
  std::array<double, 7> columns{};  // mm
  std::vector<double> rows;         // mm, one a week
  std::vector<std::size_t> shown;   // of each day's marks, so many from the first
};

// Where marks without room in their day are listed.
struct RestBox {
  std::function<std::size_t(std::size_t day, std::size_t mark)> lines;
  std::function<double(std::size_t lines)> height;  // mm
};

class WallFitter {
 public:
  WallFitter(const WallPaper& paper, double width);

  // With every mark in its day and the largest type that fits; columns are of one width where that
  // does, else narrow for days with little. Nothing: they do not fit.
  std::optional<WallGrid> fit_whole(double height);

  // In the smallest type, with as few lines in the box as the height allows. Error request where
  // that is still too much, or where a label or word is too wide.
  WallGrid fit_part(double height, const RestBox& box);

 private:
  struct Need {
    double height = 0, excess = 0;
  };
  using Columns = std::array<int, 7>;  // in steps
  using Shown = std::vector<std::size_t>;
  struct Part {
    Columns columns;
    Shown shown;
    std::size_t lines = 0;  // in the box
    double height = 0;      // of all rows
  };
  struct RowChoice {
    double height = 0;
    std::size_t lines = 0;
    std::array<std::size_t, 7> shown{};
  };

  void use(const WallType& type);
  double column_width(int steps) const;
  const Need& need(std::size_t day, std::size_t shown, int steps);
  double row_need(std::size_t week, const Columns& columns, const Shown& shown);
  double total(const Columns& columns, const Shown& shown);
  Columns search(Columns columns, const Shown& shown);
  void check_widths(const Columns& columns);
  std::optional<RowChoice> row_of(std::size_t week, const Columns& columns, double most,
                                  const RestBox& box);
  std::vector<RowChoice> row_choices(std::size_t week, const Columns& columns, const RestBox& box);
  std::optional<Part> best_part(const Columns& columns, double height, const RestBox& box);
  WallGrid made(const Columns& columns, const Shown& shown, double height);
  [[noreturn]] void refuse() const;

  const WallPaper& paper_;
  double width_;
  std::size_t weeks_;
  Shown all_;
  WallType type_;
  std::map<std::tuple<std::size_t, std::size_t, int>, Need> needs_;  // in this type
};

}  // namespace trencher::paper
