// Reading the bytes that Json::canonical() writes, several times as fast as any JSON.
#pragma once

#include <cstddef>
#include <optional>
#include <string_view>

#include "domain/json.h"

namespace trencher {

// The value of which canonical() writes just this text, as Json::parse() reads it. Nothing where
// there is none, or it is in doubt: what canonical() seldom writes is not looked at.
std::optional<Json> read_canonical(std::string_view text);

// How many bytes from `at` on stand for themselves in a JSON text: ASCII from the blank on, but for
// the quotation mark and the backslash.
std::size_t plain_run(const char* at, const char* end);

}  // namespace trencher
