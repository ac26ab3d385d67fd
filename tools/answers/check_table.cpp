#include "tools/answers/check_table.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <vector>

#include "tools/show/wrap_text.hpp"

namespace holdwater::tools {

std::string margin_text(double margin, std::string_view beyond) {
    if (!std::isfinite(margin)) return "";
    double const percent = 100 * (margin - 1);
    return percent >= 999.5 ? std::string(beyond) : fmt::format("{:+.0f} %", percent);
}

namespace {

using models::Verdict;

std::string count_text(std::vector<sim::Check> const& checks) {
    std::string out;
    for (Verdict const v : {Verdict::fail, Verdict::unknown, Verdict::marginal, Verdict::pass}) {
        auto const n =
            std::count_if(checks.begin(), checks.end(), [v](auto const& c) { return c.verdict == v; });
        if (n > 0) out += fmt::format("{}{} {}", out.empty() ? "" : ", ", n, name(v));
    }
    return out;
}

std::string answer(std::vector<sim::Check> const& checks) {
    auto const any = [&](auto const& holds) { return std::any_of(checks.begin(), checks.end(), holds); };
    if (any(sim::stands_in_the_way)) return "NO: at least one check FAILs and is not waived.";
    if (any([](auto const& c) { return c.verdict == Verdict::unknown && !c.waived; }))
        return "NOT YET: some inputs are missing or only assumed.";
    if (any([](auto const& c) { return c.verdict == Verdict::fail; })) return "YES, with waivers.";
    return "YES, with the stated inputs.";
}

// One check: verdict, figure, limit, margin; below it what the figure depends on and, unless it passes, what
// to do. `source`: number of the source of its limit, "" without.
void add_check(std::string& out, sim::Check const& c, std::string const& source) {
    std::string const verdict = c.waived ? "waived" : std::string(name(c.verdict));
    std::string line = fmt::format(" {:<8} {:<24} {:<16} {:<16} {:>6} {}", verdict, c.title, c.value_text,
                                   c.limit_text, margin_text(c.margin), source);
    // A line with a long figure is broken before the limit.
    if (line.size() > 80)
        line = fmt::format(" {:<8} {:<24} {}\n{:<35}{:<33} {:>6} {}", verdict, c.title, c.value_text, "",
                           c.limit_text, margin_text(c.margin), source);
    line.erase(line.find_last_not_of(' ') + 1);
    out += line + "\n";
    std::string const indent(10, ' ');
    if (c.waived) wrap(out, indent + "waived: ", fmt::format("{} ({})", *c.waived, name(c.verdict)));
    if (!c.detail.empty()) wrap(out, indent, c.detail);
    if (!c.provenance.empty()) wrap(out, indent + "from: ", c.provenance);
    if (c.verdict != Verdict::pass && !c.change.empty()) wrap(out, indent + "> ", c.change);
}

// First the checks for which someone has to do something; checks that pass are only named.
std::string by_urgency(std::vector<sim::Check> const& checks) {
    std::string out, passed;
    auto const list = [&](std::string_view heading, auto const& belongs) {
        bool first = true;
        for (auto const& c : checks) {
            if (!belongs(c)) continue;
            if (first) out += fmt::format("\n{}\n", heading);
            first = false;
            add_check(out, c, "");
        }
    };
    auto const is = [](Verdict v) {
        return [v](sim::Check const& c) { return c.verdict == v && !c.waived; };
    };
    list("Fails: change before quoting", is(Verdict::fail));
    list("Unknown: find out before quoting", is(Verdict::unknown));
    list("Marginal: close to a limit, or beyond a rule of thumb", is(Verdict::marginal));
    list("Waived", [](sim::Check const& c) { return c.waived.has_value(); });
    for (auto const& c : checks)
        if (is(Verdict::pass)(c)) passed += (passed.empty() ? "" : "; ") + c.title;
    if (passed.empty()) return out;
    out += "\nPasses\n";
    wrap(out, " ", passed);
    return out;
}

std::string by_group(std::vector<sim::Check> const& checks) {
    std::string out, group;
    std::vector<std::string> sources;
    for (auto const& c : checks) {
        if (c.group != group) out += fmt::format("\n{}\n", group = c.group);
        auto at = std::find(sources.begin(), sources.end(), c.source);
        if (at == sources.end()) at = sources.insert(at, c.source);
        add_check(out, c, fmt::format("[{}]", at - sources.begin() + 1));
    }
    out += "\nSources of the limits:\n";
    for (std::size_t i = 0; i < sources.size(); ++i) wrap(out, fmt::format("  [{}] ", i + 1), sources[i]);
    return out;
}

}  // namespace

std::string check_table(scenarios::Scenario const& scenario, sim::DesignCheck const& p, bool with_sources) {
    std::string out = fmt::format("{}\n{}\n\n", scenario.title, scenario.place);
    out += fmt::format("Ready to simulate and quote?  {}\n{} checks: {}\n", answer(p.checks), p.checks.size(),
                       count_text(p.checks));
    out += with_sources ? by_group(p.checks) : by_urgency(p.checks);
    out += with_sources ? "\nMargin: distance from the limit; + is the passing side.\n\n"
                        : "\nMargin: distance from the limit; + is the passing side.\n"
                          "Every check with its figures and the source of its limit: --sources\n\n";
    for (auto const& note : p.notes) wrap(out, "  * ", note);
    return out;
}

}  // namespace holdwater::tools
