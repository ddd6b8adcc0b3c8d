#include "engine/mix.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <set>

#include "domain/error.h"

namespace trencher::engine {
namespace {

bool is_mix(const Tin& tin) { return !tin.mixed_from.empty(); }

// From `id` down; `path` holds the mixes that led here.
template <typename Use>
void walk(const Tins& tins, const std::string& id, std::vector<const Tin*>& path, Use use) {
  const auto found = tins.find(id);
  if (found == tins.end()) return;
  const Tin& tin = found->second;
  if (!is_mix(tin)) return use(tin, path);
  if (std::find(path.begin(), path.end(), &tin) != path.end())
    throw Error::book(fmt::format("The book says that the mix {} holds itself.", id));
  path.push_back(&tin);
  for (const Drawn& part : tin.mixed_from) walk(tins, part.tin, path, use);
  path.pop_back();
}

// What takes longest to become ready leads a mix.
int slowness(Mechanism mechanism) {
  constexpr std::array order{Mechanism::none,       Mechanism::non_drying,
                             Mechanism::wax_set,    Mechanism::solvent_evaporation,
                             Mechanism::water_glue, Mechanism::moisture_glue,
                             Mechanism::coalescing, Mechanism::oxidative,
                             Mechanism::two_part};
  return static_cast<int>(std::find(order.begin(), order.end(), mechanism) - order.begin());
}

template <typename Better>
void take(std::optional<Figure>& into, const std::optional<Figure>& from, Better better) {
  if (from && (!into || better(from->value, into->value))) into = from;
}

void resolve(const Tins& tins, Tin& mix) {
  mix.label = {};
  mix.best_before.reset();
  mix.pot_until.reset();
  std::vector<const Tin*> path;
  walk(tins, mix.id, path, [&](const Tin& source, const std::vector<const Tin*>& mixes) {
    if (const auto& life = source.label.pot_life) {
      const Moment& mixed = mixes.back()->at;  // the mix that it went into itself
      const Moment until{mixed.at + Seconds(life->value), mixed.offset_minutes};
      if (!mix.pot_until || until.at < mix.pot_until->at) mix.pot_until = until;
    }
    if (const auto day = use_by(source);
        day &&
        (!mix.best_before || std::chrono::sys_days(*day) < std::chrono::sys_days(*mix.best_before)))
      mix.best_before = day;
    Label& label = mix.label;
    if (slowness(source.label.mechanism) > slowness(label.mechanism))
      label.mechanism = source.label.mechanism;
    label.water_borne = label.water_borne || source.label.water_borne;
    take(label.lowest_temp, source.label.lowest_temp, std::greater<>());
    take(label.highest_rh, source.label.highest_rh, std::less<>());
    take(label.coats, source.label.coats, std::greater<>());
    take(label.coverage, source.label.coverage, std::less<>());
  });
  if (mix.label.coats) mix.label.coats->usual = true;  // no label speaks of the mixture
}

}  // namespace

std::vector<const Tin*> sources(const Tins& tins, const std::string& id) {
  std::vector<const Tin*> out, path;
  walk(tins, id, path, [&](const Tin& source, const std::vector<const Tin*>&) {
    if (std::find(out.begin(), out.end(), &source) == out.end()) out.push_back(&source);
  });
  return out;
}

std::vector<const Tin*> mixes_between(const Tins& tins, const std::string& id,
                                      const std::string& source) {
  std::vector<const Tin*> out, path;
  walk(tins, id, path, [&](const Tin& tin, const std::vector<const Tin*>& on_the_way) {
    if (tin.id != source) return;
    for (const Tin* mix : on_the_way)
      if (std::find(out.begin(), out.end(), mix) == out.end()) out.push_back(mix);
  });
  return out;
}

bool holds(const Tins& tins, const std::string& id, const std::string& source) {
  if (id == source) return true;
  const auto found = tins.find(id);
  return found != tins.end() &&
         std::any_of(found->second.mixed_from.begin(), found->second.mixed_from.end(),
                     [&](const Drawn& part) { return holds(tins, part.tin, source); });
}

void resolve_mixes(Tins& tins) {
  for (auto& [id, tin] : tins)
    if (is_mix(tin)) resolve(tins, tin);
}

}  // namespace trencher::engine
