#include "tools/report/report_page.hpp"

#include <fmt/format.h>

#include <kainjow/mustache.hpp>
#include <stdexcept>

namespace holdwater::tools {
namespace {

namespace mustache = kainjow::mustache;

// Null, false and "" make a section empty; the cells of a row within a list have the name `cells`.
mustache::data data_of(Json const& json) {
    switch (json.type()) {
        case Json::value_t::object: {
            mustache::data object{mustache::data::type::object};
            for (auto const& [key, value] : json.items()) object.set(key, data_of(value));
            return object;
        }
        case Json::value_t::array: {
            mustache::data list{mustache::data::type::list};
            for (auto const& value : json) {
                if (value.is_array()) {
                    mustache::data row{mustache::data::type::object};
                    row.set("cells", data_of(value));
                    list.push_back(row);
                } else {
                    list.push_back(data_of(value));
                }
            }
            return list;
        }
        case Json::value_t::string: {
            auto const& text = json.get_ref<std::string const&>();
            if (text.empty()) return mustache::data{false};
            return mustache::data{text};
        }
        case Json::value_t::boolean:
            return mustache::data{json.get<bool>()};
        case Json::value_t::null:
            return mustache::data{false};
        default:
            return mustache::data{json.dump()};
    }
}

}  // namespace

std::string json_in_html(Json const& json) {
    std::string const text = json.dump(-1, ' ', true, Json::error_handler_t::replace);
    std::string out;
    out.reserve(text.size());
    for (char const c : text) {
        if (c == '<' || c == '>' || c == '&')
            out += fmt::format("\\u{:04x}", static_cast<unsigned>(c));
        else
            out += c;
    }
    return out;
}

std::string rendered(std::string_view page, Json const& content,
                     std::vector<std::pair<std::string, std::string>> const& parts) {
    mustache::data data{mustache::data::type::object};
    for (auto const& [key, value] : content.items()) data.set(key, data_of(value));
    for (auto const& [key, text] : parts) data.set(key, text);
    mustache::mustache whole{std::string(page)};
    std::string out = whole.render(data);
    if (!whole.is_valid()) throw std::logic_error("the page's template: " + whole.error_message());
    return out;
}

std::string report_page(Json const& content, ReportAssets const& assets) {
    bool const drawn = !assets.script.empty();
    Json shown = content;
    shown.erase("charts");
    shown.erase("figures");
    shown["drawn"] = drawn;
    return rendered(
        assets.page, shown,
        {{"style", std::string(assets.style)},
         {"script", std::string(assets.script)},
         {"notices", std::string(assets.notices)},
         {"script_source", drawn ? fmt::format("'{}'", assets.script_hash) : std::string("'none'")},
         {"charts_json", drawn ? json_in_html(content["charts"]) : std::string()},
         {"plot", std::string(assets.plot)},
         {"design_table", std::string(assets.design_table)}});
}

}  // namespace holdwater::tools
