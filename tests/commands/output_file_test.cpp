#include "commands/output_file.h"

#include <catch2/catch.hpp>
#include <fstream>

#include "../paper/tools.h"
#include "domain/error.h"

using namespace trencher;
using namespace trencher::commands;
using paper::Folder;
using paper::read_file;

TEST_CASE("papers: several files are numbered in the order in which they sort") {
  CHECK(numbered_path("out/cards.pdf", 0, 12) == "out/cards.pdf");
  CHECK(numbered_path("out/cards.pdf", 1, 2) == "out/cards-2.pdf");
  CHECK(numbered_path("cards.pdf", 1, 12) == "cards-02.pdf");
  CHECK(numbered_path("cards.pdf", 11, 12) == "cards-12.pdf");
  CHECK(numbered_path("cards", 1, 2) == "cards-2");
}

TEST_CASE("papers: all files appear together and stay once they are entered") {
  const Folder folder;
  {
    PapersOfEntry papers;
    papers.add(folder / "a.pdf", "one");
    papers.add(folder / "b.pdf", "two");
    CHECK_FALSE(std::filesystem::exists(folder / "a.pdf"));
    papers.appear();
    CHECK(papers.paths() ==
          std::vector<std::string>{(folder / "a.pdf").string(), (folder / "b.pdf").string()});
    papers.entered();
  }
  CHECK(folder.names() == std::vector<std::string>{"a.pdf", "b.pdf"});
  CHECK(read_file(folder / "b.pdf") == "two");
}

TEST_CASE("papers: without their entry none of the files stays") {
  const Folder folder;
  {
    PapersOfEntry papers;
    papers.add(folder / "a.pdf", "one");
    papers.add(folder / "b.pdf", "two");
    papers.appear();
  }
  CHECK(folder.names().empty());
}

TEST_CASE("papers: where one file cannot appear none does") {
  const Folder folder;
  {
    PapersOfEntry papers;
    papers.add(folder / "a.pdf", "one");
    papers.add(folder / "b.pdf", "two");
    std::filesystem::create_directory(folder / "b.pdf");
    CHECK_THROWS_AS(papers.appear(), Error);
  }
  CHECK(folder.names() == std::vector<std::string>{"b.pdf"});
  {
    PapersOfEntry papers;
    papers.add(folder / "a.pdf", "one");
    CHECK_THROWS_AS(papers.add(folder / "b.pdf", "two"), Error);
  }
  CHECK(folder.names() == std::vector<std::string>{"b.pdf"});
}
