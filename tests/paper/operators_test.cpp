// The operators: ISO 32000-1 annex A.
#include "paper/operators.h"

#include <catch2/catch.hpp>

using namespace trencher::paper;

TEST_CASE("operators: numbers are as short as they can be written") {
  Operators out;
  out.move(12, -0.5);
  out.line(0.000001, -0.000001);
  out.line(1.234567, 100.10);
  out.line(99999, -99999);  // beyond what readers must reach
  CHECK(out.take() == "12 -0.5 m\n0 0 l\n1.23457 100.1 l\n32767 -32767 l\n");
  CHECK(out.take().empty());
  out.matrix(0.6206897, 0, 0, -0.6206897, 226.77165, 24.7126);
  CHECK(out.take() == "0.62069 0 0 -0.62069 226.77165 24.7126 cm\n");
}

TEST_CASE("operators: what holds already is not set again") {
  Operators out;
  for (int twice = 0; twice < 2; ++twice) {
    out.fill_grey(0.25);
    out.stroke_grey(1);
    out.line_width(2);
    out.dash({});
    out.text(1, 2, "F1", 9, U"A–");
  }
  CHECK(out.take() ==
        "0.25 g\n1 G\n2 w\n[]0 d\n"
        "BT\n/F1 9 Tf\n1 2 Td\n<00412013>Tj\nET\n"
        "BT\n1 2 Td\n<00412013>Tj\nET\n");
  out.text(1, 2, "F1", 8, U"A");
  out.text(1, 2, "F2", 8, U"A");
  out.dash({2, 1});
  CHECK(out.take() ==
        "BT\n/F1 8 Tf\n1 2 Td\n<0041>Tj\nET\nBT\n/F2 8 Tf\n1 2 Td\n<0041>Tj\nET\n[2 1 ]0 d\n");
}

TEST_CASE("operators: what was saved holds again after it is restored") {
  Operators out;
  out.fill_grey(0);
  out.save();
  out.fill_grey(0);  // still holds
  out.fill_grey(1);
  out.restore();
  out.fill_grey(0);  // holds again
  out.fill_grey(1);  // and this does not
  CHECK(out.take() == "0 g\nq\n1 g\nQ\n1 g\n");
}
