// What the wall chart looks like, from its dots.
#include <catch2/catch.hpp>
#include <cmath>

#include "wall_samples.h"

using namespace trencher;
using namespace trencher::paper;

namespace {

// One bit a dot, as a printer without greys makes of it.
Picture one_bit(const std::filesystem::path& pdf, int dots) {
  const Folder folder;
  poppler("pdftoppm -mono -singlefile -r " + std::to_string(dots) + " " + pdf.string() + " " +
          (folder / "page").string());
  std::istringstream in(read_file(folder / "page.pbm"));
  std::string magic;
  Picture picture;
  in >> magic >> picture.width >> picture.height;
  in.get();
  const std::string packed{std::istreambuf_iterator<char>(in), {}};
  const std::size_t row = (static_cast<std::size_t>(picture.width) + 7) / 8;
  for (int y = 0; y < picture.height; ++y)
    for (int x = 0; x < picture.width; ++x) {
      const auto eight = static_cast<unsigned char>(packed.at(row * y + x / 8));
      picture.pixels += (eight >> (7 - x % 8)) & 1 ? '\x00' : '\xff';
    }
  return picture;
}

// A page with lengths in mm.
class Page {
 public:
  Page(const std::filesystem::path& pdf, int dots)
      : dots_(dots), picture_(picture_of(pdf, 1, dots)) {}
  Page(Picture picture, int dots) : dots_(dots), picture_(std::move(picture)) {}
  int dot(double mm) const { return static_cast<int>(std::lround(mm / 25.4 * dots_)); }
  double width() const { return picture_.width * 25.4 / dots_; }
  double height() const { return picture_.height * 25.4 / dots_; }
  bool dark(int x, int y) const { return picture_.at(x, y) < 128; }

  // Of the dots from left to right: lengths, mm, of what is dark without a break.
  std::vector<double> runs(double left, double right, double y) const {
    std::vector<double> out;
    bool before = false;
    for (int x = dot(left); x < dot(right); ++x) {
      const bool now = dark(x, dot(y));
      if (now && !before) out.push_back(0);
      if (now) out.back() += 25.4 / dots_;
      before = now;
    }
    return out;
  }

  double share(double left, double top, double right, double bottom) const {
    int black = 0, all = 0;
    for (int y = dot(top); y < dot(bottom); ++y)
      for (int x = dot(left); x < dot(right); ++x, ++all) black += dark(x, y);
    return double(black) / all;
  }

  // How far up from its baseline a word is dark in every row of dots.
  double standing_height(const Word& word) const {
    const int left = dot(word.left * point), right = dot(word.right * point);
    const auto any = [&](int y) {
      for (int x = left; x < right; ++x)
        if (dark(x, y)) return true;
      return false;
    };
    const int foot = dot(baseline(word) * point) - 2;  // above what dips below the baseline
    int y = foot;
    while (any(y)) --y;
    return (foot - y + 1) * 25.4 / dots_;
  }

 private:
  int dots_;
  Picture picture_;
};

}  // namespace

TEST_CASE("Day numbers and labels are at least 7 mm high and the pixels say so") {
  for (const Size sheet : {a4, letter})
    for (const int weeks : {1, 4, 6}) {
      WallContent chart = busy_weeks(weeks);
      std::size_t labels = 0;
      for (WallDay& day : chart.days)
        for (WallMark& mark : day.marks) {
          mark.guessed = false;  // a ring would be measured too
          ++labels;
        }
      while (weeks_that_fit(chart, options(sheet)) * 7 < int(chart.days.size())) {
        for (std::size_t i = chart.days.size(); i-- > 0;)
          if (!chart.days[i].marks.empty()) {
            chart.days[i].marks.pop_back();
            --labels;
            break;
          }
      }
      const Printed printed(chart, sheet);
      const Page page(one_bit(printed.pdf, 300), 300);
      const auto words = large_words(printed.pdf);
      CHECK(words.size() == chart.days.size() + labels);
      for (const Word& word : words) {
        INFO(word.text << " with " << weeks << " weeks");
        CHECK(page.standing_height(word) >= 7);
        CHECK(page.standing_height(word) < 10);
      }
    }
}

TEST_CASE("Nothing is drawn where printers do not reach and no words lie on each other") {
  for (const Size sheet : {a4, letter})
    for (const WallContent& chart :
         {plain_weeks(6), busy_weeks(1), busy_weeks(4), busy_weeks(6), crowded_weeks()}) {
      const Printed printed(chart, sheet);
      check_sound(printed.pdf);
      CHECK(pages_of(printed.pdf) == 1);
      CHECK(overlaps(printed.pdf) == "");
      const Page page(printed.pdf, 100);
      CHECK(page.width() == Approx(sheet.height).margin(0.3));
      CHECK(page.height() == Approx(sheet.width).margin(0.3));
      CHECK(page.share(0, 0, page.width() - 0.3, 5) == 0);
      CHECK(page.share(0, page.height() - 5, page.width() - 0.3, page.height() - 0.3) == 0);
      CHECK(page.share(0, 0, 5, page.height() - 0.3) == 0);
      CHECK(page.share(page.width() - 5, 0, page.width() - 0.3, page.height() - 0.3) == 0);
      CHECK(page.share(0, 0, page.width() - 0.3, page.height() - 0.3) > 0.02);
    }
}

TEST_CASE("Everything is black on white without a grey") {
  const Printed printed(busy_weeks(4));
  run("qpdf --qdf --object-streams=disable " + printed.pdf.string() + " " +
      (printed.folder / "open.pdf").string());
  std::istringstream lines(read_file(printed.folder / "open.pdf"));
  int settings = 0;
  for (std::string line; std::getline(lines, line);) {
    std::smatch m;
    if (!std::regex_match(line, m, std::regex("([0-9.]+) [gG]"))) continue;
    ++settings;
    CHECK((m[1] == "0" || m[1] == "1"));
  }
  CHECK(settings > 2);  // what holds already is not set again
}

TEST_CASE("Of a coat the strokes up to it are full and the others hollow") {
  for (const auto& [coat, coats, hollow] :
       {std::tuple(1, 3, 2), {2, 3, 1}, {3, 3, 0}, {1, 5, 4}, {2, 0, 0}}) {
    WallContent chart = plain_weeks(1);
    chart.days[1].marks = {{"014", WallKind::coat, coat, coats, "", "", false}};
    const Printed printed(chart);
    const Page page(printed.pdf, 250);
    const Word label = large_word(printed.pdf, "014");
    const Word day = large_word(printed.pdf, "1");
    // Half-way up the strokes, from just beside the cell's rule to just before the label.
    const double middle = baseline(label) * point - 3.8;
    const auto runs = page.runs(day.left * point - 1.2, label.left * point, middle);
    INFO(coat << " of " << coats);
    const auto full = std::count_if(runs.begin(), runs.end(), [](double mm) { return mm > 1; });
    CHECK(full == coat);
    CHECK(int(runs.size()) - full == 2 * hollow);
  }
}

TEST_CASE("A guessed mark has a broken ring and another none") {
  WallContent chart = plain_weeks(2);
  chart.days[1].marks = {{"014", WallKind::promised, 0, 0, "", "", true}};
  chart.days[8].marks = {{"015", WallKind::promised, 0, 0, "", "", false}};
  const Printed printed(chart);
  const Page page(printed.pdf, 300);
  const auto dashes = [&](const std::string& text) {
    const Word label = large_word(printed.pdf, text);
    std::size_t most = 0;
    // Above the letters, where the ring runs.
    for (double up = 0.3; up < 1.4; up += 0.1) {
      const double y = baseline(label) * point - 0.729 * em(label) * point - up;
      most = std::max(most, page.runs(label.left * point, label.right * point, y).size());
    }
    return most;
  };
  CHECK(dashes("014") >= 5);
  CHECK(dashes("015") == 0);
}

TEST_CASE("Days off and market days and today differ in one bit a dot") {
  WallContent chart = plain_weeks(2);
  for (WallDay& day : chart.days) day.off = false;
  chart.days[9].off = true;
  chart.days[10].market = true;
  chart.today = year{2026} / 12 / 11;
  const Printed printed(chart);
  const Page page(one_bit(printed.pdf, 150), 150);
  struct Shares {
    double body, top, corner;
  };
  const auto shares = [&](const std::string& number, const std::string& next) {
    const Word day = large_word(printed.pdf, number);
    const double left = day.left * point, right = large_word(printed.pdf, next).left * point - 4.4;
    const double foot = baseline(day) * point;
    const double rule = foot - 0.729 * em(day) * point - (number == "10" ? 6.7 : 1.9);
    return Shares{page.share(left, foot + 12, right, foot + 40),
                  page.share(left, rule + 0.5, right, rule + 3),
                  page.share(right - 4, rule + 4.5, right, rule + 7)};
  };
  const Shares off = shares("9", "10"), market = shares("10", "11"), today = shares("11", "12"),
               plain = shares("8", "9");
  CHECK(off.body > 0.02);
  CHECK(off.body < 0.15);
  for (const Shares& other : {market, today, plain}) CHECK(other.body == 0);
  CHECK(market.top > 0.3);
  CHECK(market.top < 0.75);
  CHECK(plain.top < 0.3);
  CHECK(today.corner > 0.6);
  CHECK(plain.corner == 0);
}

TEST_CASE("A week with more to do has a higher row") {
  const Printed printed(busy_weeks(4));
  const auto down = [&](const char* number) { return baseline(large_word(printed.pdf, number)); };
  CHECK(down("7") - down("30") > down("21") - down("14") + 30);
  CHECK(down("14") - down("7") == Approx(down("21") - down("14")).margin(30));
}
