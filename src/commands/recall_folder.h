// The folder that a recall is written to: whole or not at all, readable to its owner alone, since
// it holds customers' names.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::commands {

// First lines of summary.txt, by which a folder is known as ours.
inline constexpr std::string_view recall_head = "RECALL. Drafts: nothing has been sent.";
inline constexpr std::string_view practice_head = "PRACTICE. No recall, nothing to be sent.";

class RecallFolder {
 public:
  // Error::request where the folder holds anything but an earlier recall, naming it. Nothing of the
  // folder itself is touched before finish().
  explicit RecallFolder(const std::string& typed);
  ~RecallFolder();
  RecallFolder(const RecallFolder&) = delete;
  RecallFolder& operator=(const RecallFolder&) = delete;

  const std::filesystem::path& path() const { return path_; }
  // Where a file of that name is to be written for now.
  std::filesystem::path add(const std::string& name);
  void write(const std::string& name, std::string_view text);
  const std::vector<std::string>& names() const { return names_; }
  // Puts the files into the folder; those of an earlier recall that are not among them go.
  void finish();

 private:
  std::filesystem::path path_, staged_;
  std::vector<std::string> old_, names_;
};

// "notice-003-ann-example.pdf": of a person's name only what every file system takes.
std::string notice_name(std::size_t number, const std::string& person);

}  // namespace trencher::commands
