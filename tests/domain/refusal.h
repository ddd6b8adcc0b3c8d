// What a call refuses with: "request: sentence" or "book: sentence", or "nothing was refused".
#pragma once

#include <string>

#include "domain/error.h"

template <typename Call>
std::string refusal(const Call& call) {
  try {
    call();
  } catch (const trencher::Error& error) {
    const bool request = error.kind() == trencher::Error::Kind::request;
    return std::string(request ? "request: " : "book: ") + error.what();
  }
  return "nothing was refused";
}
