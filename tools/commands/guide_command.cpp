#include <fmt/format.h>

#include <algorithm>
#include <memory>
#include <stdexcept>
#include <string>
#include <vector>

#include "scenarios/text/key_list.hpp"
#include "tools/commands/commands.hpp"
#include "tools/commands/guide.hpp"

namespace holdwater::tools {
namespace {

void print_keys(std::vector<std::string> const& tables) {
    for (auto const& table : tables) {
        auto const keys = scenarios::key_list();
        bool const known = table == "top" || std::any_of(keys.begin(), keys.end(), [&](auto const& k) {
                               return k.key.starts_with(table + ".");
                           });
        if (!known)
            throw std::invalid_argument(fmt::format(
                "guide: there is no table [{}] in a scenario; `holdwater guide keys` prints all", table));
    }
    fmt::print("{}", scenarios::key_table(tables));
}

}  // namespace

void add_guide_command(CLI::App& app, int&) {
    auto const form = std::make_shared<std::string>();
    auto const tables = std::make_shared<std::vector<std::string>>();
    CLI::App* const c =
        app.add_subcommand("guide", "Print the keys of a scenario, the manual page, or completion for bash");
    c->add_option("FORM", *form, "keys, man or bash")
        ->required()
        ->check(CLI::IsMember({"keys", "man", "bash"}))
        ->option_text("keys|man|bash");
    c->add_option("TABLE", *tables,
                  "For keys: only those of these tables, such as battery; top: those above the first table")
        ->option_text("TABLE ...");
    c->footer(
        "Examples:\n"
        "  holdwater guide keys battery\n"
        "  holdwater guide man > holdwater.1\n"
        "  source <(holdwater guide bash)");
    c->callback([&app, form, tables] {
        if (*form == "keys") return print_keys(*tables);
        if (!tables->empty()) throw std::invalid_argument("guide: names of tables are for keys");
        fmt::print("{}", *form == "man" ? man_page(app) : bash_completion(app));
    });
}

}  // namespace holdwater::tools
