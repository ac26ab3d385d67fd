#include "tools/commands/guide.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <kainjow/mustache.hpp>
#include <sstream>
#include <vector>

#include "tools/completion_template.hpp"

namespace holdwater::tools {
namespace {

std::vector<CLI::App const*> commands_of(CLI::App const& app) {
    return app.get_subcommands([](CLI::App const*) { return true; });
}

std::vector<CLI::Option const*> options_of(CLI::App const& app, bool positional) {
    auto const belongs = [=](CLI::Option const* o) {
        return !o->get_group().empty() && o->get_positional() == positional;
    };
    auto options = app.get_options(belongs);
    // A group of options is a subcommand without a name.
    for (CLI::App const* const group :
         app.get_subcommands([](CLI::App const* a) { return a->get_name().empty(); }))
        for (CLI::Option const* const o : group->get_options(belongs)) options.push_back(o);
    return options;
}

bool takes_value(CLI::Option const& o) { return o.get_items_expected_max() > 0; }

// The value of an option as its help shows it, such as "metric|us" or "FILE".
std::string value_of(CLI::Option const& o) { return takes_value(o) ? o.get_option_text() : ""; }

bool speaks_of_file(CLI::Option const& o) {
    std::string description = o.get_description() + " " + o.get_name(true);
    std::transform(description.begin(), description.end(), description.begin(),
                   [](unsigned char c) { return static_cast<char>(std::tolower(c)); });
    return description.find("file") != std::string::npos;
}

std::string roff(std::string const& text) {
    std::string out;
    bool begins = true;
    for (char const c : text) {
        if (c == '\\')
            out += "\\e";
        else if (c == '-')
            out += "\\-";
        else if (begins && (c == '.' || c == '\''))
            out += std::string("\\&") + c;
        else
            out += c;
        begins = c == '\n';
    }
    return out;
}

std::string example_lines(std::string const& footer) {
    std::istringstream in(footer);
    std::string out = ".nf\n", line;
    while (std::getline(in, line)) {
        for (std::string_view const head : {"Examples:", "Example:"})
            if (line.starts_with(head)) line.erase(0, head.size());
        line.erase(0, std::min(line.find_first_not_of(' '), line.size()));
        if (!line.empty()) out += roff(line) + "\n";
    }
    return out + ".fi\n";
}

std::string man_options(CLI::App const& app) {
    std::string out;
    for (bool const positional : {true, false})
        for (auto const* o : options_of(app, positional)) {
            std::string const value = positional ? "" : value_of(*o);
            out +=
                fmt::format(".TP\n.B {}{}\n{}\n", roff(o->get_name(positional, !positional)),
                            value.empty() ? "" : " \\fI" + roff(value) + "\\fR", roff(o->get_description()));
        }
    return out;
}

std::string joined(std::vector<std::string> const& words) {
    std::string out;
    for (auto const& word : words) out += (out.empty() ? "" : " ") + word;
    return out;
}

// The choices of an option that accepts only these: "metric|us".
std::string choices_of(CLI::Option const& o) {
    std::string text = value_of(o);
    if (text.find('|') == std::string::npos) return "";
    std::replace(text.begin(), text.end(), '|', ' ');
    return text;
}

std::string completion_of_values(CLI::App const& command) {
    std::string out;
    for (auto const* o : options_of(command, false)) {
        if (!takes_value(*o)) continue;
        std::string const choices = choices_of(*o);
        std::string const name = command.get_name() + ":" + o->get_name();
        if (o->check_lname("option"))
            out +=
                fmt::format("        {}) mapfile -t COMPREPLY < <(_holdwater_options \"$word\") ;;\n", name);
        else if (!choices.empty())
            out += fmt::format("        {}) mapfile -t COMPREPLY < <(compgen -W \"{}\" -- \"$word\") ;;\n",
                               name, choices);
        else if (speaks_of_file(*o))
            out += fmt::format("        {}) mapfile -t COMPREPLY < <(compgen -f -- \"$word\") ;;\n", name);
        else
            out += fmt::format("        {}) COMPREPLY=() ;;\n", name);
    }
    return out;
}

}  // namespace

std::string man_page(CLI::App const& app) {
    std::string out = fmt::format(
        ".TH HOLDWATER 1 \"\" \"holdwater {}\" \"User commands\"\n"
        ".SH NAME\nholdwater \\- does a backed\\-up well pump's design hold water?\n"
        ".SH SYNOPSIS\n.B holdwater\n.I command\n[\\fIarguments\\fR] [\\fIoptions\\fR]\n"
        ".SH DESCRIPTION\n{}\n.SH OPTIONS\n{}.SH COMMANDS\n",
        HOLDWATER_VERSION, roff(app.get_description()), man_options(app));
    for (auto const* command : commands_of(app)) {
        std::string arguments;
        for (auto const* o : options_of(*command, true))
            arguments += o->get_required() ? " " + o->get_name(true) : " [" + o->get_name(true) + "]";
        out += fmt::format(".SS holdwater {}{}\n{}\n{}", command->get_name(), roff(arguments),
                           roff(command->get_description()), man_options(*command));
        if (!command->get_footer().empty())
            out += ".PP\nExample:\n.PP\n" + example_lines(command->get_footer());
    }
    out +=
        ".SH EXIT STATUS\n.TP\n.B 0\ndone\n.TP\n.B 1\nthe design fails a stated requirement\n"
        ".TP\n.B 2\nbad input; file, line and key are named\n.TP\n.B 3\ninternal error\n"
        ".SH ENVIRONMENT\n.TP\n.B NO_COLOR\nset to anything: pictures on a terminal without color\n"
        ".SH CAUTION\nA simulation is not an inspection. Local codes, the utility, listing instructions and "
        "licensed electricians and pump installers decide.\n";
    return out;
}

std::string bash_completion(CLI::App const& app) {
    std::vector<std::string> names;
    std::string values, flags;
    for (auto const* command : commands_of(app)) {
        names.push_back(command->get_name());
        std::vector<std::string> options;
        for (auto const* o : options_of(*command, false))
            for (auto const& name : o->get_lnames()) options.push_back("--" + name);
        flags += fmt::format("        {}) words=\"{}\" ;;\n", command->get_name(), joined(options));
        values += completion_of_values(*command);
        for (auto const* o : options_of(*command, true)) {
            std::string const choices = choices_of(*o);
            if (!choices.empty())
                flags += fmt::format("        {}=) words=\"{}\" ;;\n", command->get_name(), choices);
        }
    }
    std::string list;
    for (auto const& name : names) list += (list.empty() ? "" : " | ") + name;
    kainjow::mustache::mustache script{std::string(completion_template)};
    kainjow::mustache::data data{kainjow::mustache::data::type::object};
    data.set("cases", list);
    data.set("names", joined(names));
    data.set("values", values);
    data.set("flags", flags);
    return script.render(data);
}

}  // namespace holdwater::tools
