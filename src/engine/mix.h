// Mixes: tins that were made in the workshop out of others, through any depth.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "domain/records.h"

namespace trencher::engine {

using Tins = std::map<std::string, Tin>;  // by id

// The received tins that `id` comes from, each once: itself, unless it is a mix. A source that is
// not among `tins` is left out.
std::vector<const Tin*> sources(const Tins& tins, const std::string& id);
// The mixes on the way from `id` down to `source`, from `id` on; empty where `id` is no mix.
std::vector<const Tin*> mixes_between(const Tins& tins, const std::string& id,
                                      const std::string& source);
// Whether `id` is `source` or holds it.
bool holds(const Tins& tins, const std::string& id, const std::string& source);

// Gives each mix what follows from its sources: the earliest day that one is good until, the end of
// the first pot life (counted from the mix that a source went into), and, for what the maker is
// told when it is used, the strictest limits, the most coats, the least coverage, and the mechanism
// that takes longest. No wait: each source's own counts. Error::book where a mix holds itself.
void resolve_mixes(Tins& tins);

}  // namespace trencher::engine
