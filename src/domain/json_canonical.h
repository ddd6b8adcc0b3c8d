// Reading the bytes that Json::canonical() writes, several times as fast as any JSON.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "domain/json.h"

namespace trencher {

// The value of which canonical() writes just this text, as Json::parse() reads it. Nothing where
// there is none, or it is in doubt: what canonical() seldom writes is not looked at.
std::optional<Json> read_canonical(std::string_view text);

// Reads a string of a JSON text from `at`, where its quotation mark stands, and moves `at` behind
// it. False where it has no end or an escape with \u. Bytes beyond ASCII are taken as they are.
bool take_string(const char*& at, const char* end, std::string& out, bool& beyond_ascii);

}  // namespace trencher
