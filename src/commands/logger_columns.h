// Which column of a logger's file is which, by name or as --columns says. For logger_file alone.
#pragma once

#include <cstddef>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::commands {

// Lower case, with one blank for what is not ASCII: loggers write their degree sign in many
// encodings.
std::string plain(std::string_view cell);
// A cell as it may stand in a sentence.
std::string quoted(std::string_view cell);
bool names_temperature(const std::string& plain_name);

class LoggerColumns {
 public:
  // `file` is named in errors and must live on. Error::request where the time or the temperature
  // has no column, one of them may be in two, or an item of `given` ("temp=Channel 1", "rh=4") is
  // not understood.
  LoggerColumns(const std::string& file, std::vector<std::string> names,
                const std::vector<std::string>& given);

  std::size_t time() const { return *time_; }
  std::size_t temp() const { return *temp_; }
  std::optional<std::size_t> date() const { return date_; }  // where it is not in time()
  std::optional<std::size_t> rh() const { return rh_; }
  const std::string& name(std::size_t column) const { return names_[column]; }

 private:
  void take(const std::string& item);
  std::optional<std::size_t> only(std::string_view what, bool (*fits)(const std::string&)) const;
  [[noreturn]] void missing(std::string_view what, std::string_view names) const;

  const std::string& file_;
  const std::vector<std::string> names_;
  std::optional<std::size_t> time_, date_, temp_, rh_;
};

}  // namespace trencher::commands
