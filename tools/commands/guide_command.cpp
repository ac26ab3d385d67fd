#include <fmt/format.h>

#include <memory>
#include <string>

#include "tools/commands/commands.hpp"
#include "tools/commands/guide.hpp"

namespace holdwater::tools {

void add_guide_command(CLI::App& app, int&) {
    auto const form = std::make_shared<std::string>();
    CLI::App* const c = app.add_subcommand("guide", "Print the manual page, or completion for bash");
    c->add_option("FORM", *form, "man or bash")
        ->required()
        ->check(CLI::IsMember({"man", "bash"}))
        ->option_text("man|bash");
    c->footer(
        "Examples:\n"
        "  holdwater guide man > holdwater.1\n"
        "  source <(holdwater guide bash)");
    c->callback([&app, form] { fmt::print("{}", *form == "man" ? man_page(app) : bash_completion(app)); });
}

}  // namespace holdwater::tools
