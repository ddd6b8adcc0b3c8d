#include "commands/recall_folder.h"

#include <algorithm>

#include "../book/folder.h"
#include "domain/error.h"

using namespace trencher;
using namespace trencher::commands;

namespace {

namespace fs = std::filesystem;

void write_recall(const fs::path& path, const std::vector<std::string>& names,
                  const std::string& text = "x") {
  RecallFolder folder(path.string());
  for (const std::string& name : names)
    folder.write(name, name == "summary.txt" ? std::string(recall_head) + "\n" + text : text);
  folder.finish();
}

std::vector<std::string> names_in(const fs::path& path) {
  std::vector<std::string> out;
  for (const auto& file : fs::directory_iterator(path))
    out.push_back(file.path().filename().string());
  std::sort(out.begin(), out.end());
  return out;
}

std::string refusal(const fs::path& path) {
  try {
    RecallFolder folder(path.string());
  } catch (const Error& failure) {
    return failure.what();
  }
  return "";
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("recall folder: only its owner can read it, made new or found empty") {
  Folder folder;
  const fs::path made = folder / "made", found = folder / "found";
  fs::create_directory(found);
  fs::permissions(found, fs::perms::all);
  for (const fs::path& path : {made, found}) {
    write_recall(path, {"people.csv", "summary.txt"});
    CHECK(mode_of(path) == 0700);
    CHECK(mode_of(path / "people.csv") == 0600);
    CHECK(names_in(path) == Names{"people.csv", "summary.txt"});
  }
  CHECK(names_in(made.parent_path()) == Names{"found", "made"});  // nothing else is left there
}

TEST_CASE("recall folder: an earlier recall is replaced file by file") {
  Folder folder;
  const fs::path path = folder / "out";
  write_recall(path, {"people.csv", "notice-001-ann.pdf", "notice-002-bob.pdf", "summary.txt"});
  write_recall(path / "", {"people.csv", "notice-001-bob.pdf", "summary.txt"}, "anew");
  CHECK(names_in(path) == Names{"notice-001-bob.pdf", "people.csv", "summary.txt"});
  CHECK(bytes_of(path / "people.csv") == "anew");
}

TEST_CASE("recall folder: what is not of a recall stops it and nothing is touched") {
  Folder folder;
  const fs::path path = folder / "out";
  write_recall(path, {"people.csv", "summary.txt"});
  put_bytes(path / "mine.txt", "mine");
  CHECK(refusal(path).find("'mine.txt', which is no file of a recall") != std::string::npos);
  fs::remove(path / "mine.txt");
  put_bytes(path / "summary.txt", "RECALL of something else\n");
  CHECK(refusal(path).find("files that no recall wrote") != std::string::npos);
  fs::remove(path / "summary.txt");
  CHECK(refusal(path).find("files that no recall wrote") != std::string::npos);
  fs::remove(path / "people.csv");
  fs::create_symlink("/etc/passwd", path / "people.csv");
  CHECK(refusal(path).find("'people.csv', which is no file of a recall") != std::string::npos);
  put_bytes(folder / "file", "x");
  CHECK(refusal(folder / "file").find("is no folder") != std::string::npos);
  CHECK(refusal(folder / "nowhere" / "out").starts_with("Cannot make "));
}

TEST_CASE("recall folder: what is given up leaves nothing behind") {
  Folder folder;
  {
    RecallFolder given_up((folder / "out").string());
    given_up.write("people.csv", "x");
  }
  CHECK(names_in(folder / "").empty());
}

TEST_CASE("recall folder: a person's name gives a file name that every disk takes") {
  CHECK(notice_name(1, "Ann Example") == "notice-001-ann-example.pdf");
  CHECK(notice_name(12, "../../etc/passwd") == "notice-012-etc-passwd.pdf");
  CHECK(notice_name(3, "Ж/\n:*?\"<>|") == "notice-003.pdf");
  CHECK(notice_name(1000, std::string(300, 'a')).size() < 60);
}
