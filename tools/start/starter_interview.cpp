#include "tools/start/starter_interview.hpp"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cmath>
#include <sstream>
#include <stdexcept>
#include <tuple>
#include <utility>

#include "models/numeric/read_double.hpp"
#include "models/numeric/trade_units.hpp"
#include "scenarios/text/quantity.hpp"
#include "weather/csv.hpp"
#include "weather/read_weather.hpp"
#include "weather/weather_maker.hpp"

namespace holdwater::tools {
namespace {

using models::MotorWiring;
using scenarios::Backup;

// Readers of answers; every reader throws std::invalid_argument, which says what is accepted.
double in_range(double value, double low, double high, std::string_view unit = "") {
    if (!(value >= low && value <= high))
        throw std::invalid_argument(
            fmt::format("{:g}{} is out of range; accepted: {:g} to {:g}{}", value, unit, low, high, unit));
    return value;
}

std::string without_ends(std::string const& text) {
    auto const first = text.find_first_not_of(" \t");
    return first == std::string::npos ? "" : text.substr(first, text.find_last_not_of(" \t") - first + 1);
}

double plain_number(std::string const& typed) {
    std::string const text = without_ends(typed);
    double value = 0;
    auto const* const end = text.data() + text.size();
    auto const* const begin = text.data() + (text.starts_with('+') ? 1 : 0);
    bool const digits = text.find_first_not_of("+-.eE0123456789") == std::string::npos;
    auto const read = models::read_double(begin, end, value);
    if (digits && read.ec == std::errc{} && read.ptr == end) return value;
    auto const comma = text.find(',');
    if (comma != std::string::npos && text.find_first_not_of("+-0123456789,") == std::string::npos)
        throw std::invalid_argument(fmt::format("\"{}\" has a decimal comma; write {}.{}, with a point", text,
                                                text.substr(0, comma), text.substr(comma + 1)));
    throw std::invalid_argument(fmt::format("\"{}\" is not a number", text));
}

bool is_plain_number(std::string const& text) {
    try {
        (void)plain_number(text);
        return true;
    } catch (std::invalid_argument const&) {
        return false;
    }
}

double quantity_of(std::string const& text, std::string const& si_unit) {
    try {
        return scenarios::read_quantity(text, si_unit);
    } catch (scenarios::QuantityError const& error) {
        throw std::invalid_argument(error.what());
    }
}

// A bare number is in the unit that the question shows.
double shown_quantity(std::string const& text, std::string const& shown_unit, std::string const& si_unit) {
    return quantity_of(is_plain_number(text) ? text + " " + shown_unit : text, si_unit);
}

template <class Value, std::size_t N>
Value choice_of(std::string const& text, std::array<std::pair<std::string_view, Value>, N> const& names) {
    std::string accepted;
    for (auto const& [name, value] : names) {
        if (name == text) return value;
        accepted += (accepted.empty() ? "" : ", ") + std::string(name);
    }
    throw std::invalid_argument(fmt::format("\"{}\" is not a choice; accepted: {}", text, accepted));
}

bool metric_of(std::string const& text) {
    return choice_of(text, std::array{std::pair{std::string_view("us"), false},
                                      std::pair{std::string_view("metric"), true}});
}

Backup backup_of(std::string const& text) {
    return choice_of(text, std::array{std::pair{std::string_view("none"), Backup::none},
                                      std::pair{std::string_view("grid"), Backup::grid},
                                      std::pair{std::string_view("generator"), Backup::generator}});
}

MotorWiring wiring_of(std::string const& text) {
    return choice_of(text, std::array{std::pair{std::string_view("2-wire"), MotorWiring::two_wire},
                                      std::pair{std::string_view("3-wire"), MotorWiring::three_wire}});
}

bool heated_of(std::string const& text) {
    return choice_of(text, std::array{std::pair{std::string_view("heated"), true},
                                      std::pair{std::string_view("unheated"), false}});
}

std::string one_line(std::string const& text) {
    for (std::size_t i = 0; i < text.size(); ++i)
        if (weather::control_length(std::string_view(text).substr(i)) > 0)
            throw std::invalid_argument("must be one line of text");
    return text;
}

// "40/60 psi" or, in the unit that the question shows, "40/60".
std::pair<double, double> switch_of(std::string const& text, std::string const& shown_unit) {
    auto const slash = text.find('/');
    if (slash == std::string::npos)
        throw std::invalid_argument(fmt::format(
            "\"{}\" is not cut-in and cut-out; expected such as \"40/60 psi\" or \"2.8/4.1 bar\"", text));
    std::string low = text.substr(0, slash), high = text.substr(slash + 1);
    double const high_kpa = shown_quantity(high, shown_unit, "kPa");
    if (is_plain_number(low)) {
        auto const unit = high.find_first_not_of(" \t0123456789.");
        low += " " + (unit == std::string::npos ? shown_unit : high.substr(unit));
    }
    double const low_kpa = quantity_of(low, "kPa");
    (void)in_range(low_kpa, 60, 700, " kPa (cut-in)");
    (void)in_range(high_kpa, 80, 800, " kPa (cut-out)");
    if (high_kpa - low_kpa < 5 * models::kpa_per_psi)
        throw std::invalid_argument(
            fmt::format("\"{}\": cut-out must be at least 5 psi (0.35 bar) above cut-in", text));
    return {low_kpa, high_kpa};
}

// "85 gal", "2 x 120 gal".
sim::StarterTank tank_of(std::string const& text, std::string const& shown_unit) {
    sim::StarterTank tank;
    std::string each = text;
    if (auto const times = text.find('x'); times != std::string::npos) {
        double const count = plain_number(text.substr(0, times));
        if (count != std::floor(count)) throw std::invalid_argument("the number of tanks must be whole");
        tank.count = static_cast<int>(in_range(count, 1, 20, " tanks"));
        each = text.substr(times + 1);
    }
    tank.each_m3 = shown_quantity(each, shown_unit, "m3");
    (void)in_range(1e3 * tank.each_m3, 2, 20000, " L");
    return tank;
}

// "120/240 V 60 Hz", "230 V 50 Hz": the higher voltage is used.
std::pair<double, double> ac_of(std::string const& text) {
    std::string body = text;
    if (body.starts_with("120/240")) body = body.substr(4);
    std::replace_if(
        body.begin(), body.end(), [](char c) { return c == 'V' || c == 'H' || c == 'z' || c == ','; }, ' ');
    std::istringstream in(body);
    double volts = 0, hz = 0;
    std::string rest;
    if (!(in >> volts >> hz) || (in >> rest))
        throw std::invalid_argument(fmt::format(
            "\"{}\" is not volts and hertz; expected such as \"240 V 60 Hz\" or \"230 V 50 Hz\"", text));
    (void)in_range(volts, 208, 250, " V (for a 230 V motor)");
    if (hz != 50 && hz != 60) throw std::invalid_argument(fmt::format("{:g} Hz; accepted: 50 or 60 Hz", hz));
    return {volts, hz};
}

// One question: answered by a text, asked until the answer can be read, or the usual answer.
struct Interview {
    StarterTalk const* talk = nullptr;  // none: nothing is asked

    template <class Read>
    auto answer(std::string const& given, std::string_view option, std::string const& question,
                std::string const& usual, Read const& read) const {
        if (!given.empty() || talk == nullptr) {
            try {
                return read(given.empty() ? usual : given);
            } catch (std::invalid_argument const& error) {
                throw std::invalid_argument(fmt::format("init: {}: {}", option, error.what()));
            }
        }
        for (;;) {
            auto const text = talk->ask(question, usual);
            try {
                return read(text);
            } catch (std::invalid_argument const& error) {
                talk->say(error.what());
            }
        }
    }
};

std::string read_site(std::string const& file, weather::Site& site) {
    if (file == "none") return "";
    try {
        site = weather::read_weather(file).site;
    } catch (std::runtime_error const& error) {
        throw std::invalid_argument(error.what());
    }
    return file;
}

// The place: from the weather file, or from coordinates for which a year is made.
void ask_place(Interview const& in, StarterTexts const& o, StarterAnswers& a, std::string& weather,
               double& longitude_deg) {
    a.place = in.answer(o.place, "--place", "Name of the place", "My place", one_line);
    a.title = one_line(o.title.empty() ? "Well at " + a.place : o.title);
    weather::Site site;
    weather = in.answer(o.weather, "--weather",
                        "Typical-year weather file, or none to make a year from the latitude", "none",
                        [&](std::string const& text) { return read_site(text, site); });
    a.weather_is_made = weather.empty();
    std::string const unit = a.metric ? "m" : "ft";
    auto const elevation = [&](std::string const& text) {
        return in_range(shown_quantity(text, unit, "m"), -400, 4000, " m");
    };
    if (!a.weather_is_made) {
        a.latitude_deg = site.latitude_deg;
        a.elevation_m =
            o.elevation.empty() ? site.elevation_m : in.answer(o.elevation, "--elevation", "", "", elevation);
        return;
    }
    if (in.talk == nullptr && (o.latitude.empty() || o.longitude.empty()))
        throw std::invalid_argument(
            "init: give --weather FILE, or --latitude and --longitude to make a year for a start");
    a.latitude_deg = in.answer(o.latitude, "--latitude", "Latitude, degrees north", "44",
                               [](std::string const& text) { return in_range(plain_number(text), -65, 65); });
    longitude_deg =
        in.answer(o.longitude, "--longitude", "Longitude, degrees east (west is negative)", "-100",
                  [](std::string const& text) { return in_range(plain_number(text), -180, 180); });
    a.elevation_m = in.answer(o.elevation, "--elevation", "Elevation above the sea",
                              a.metric ? "200 m" : "650 ft", elevation);
}

void ask_motor(Interview const& in, StarterTexts const& o, StarterAnswers& a) {
    bool const in_kw = !o.pump_kw.empty() || (o.pump_hp.empty() && a.metric);
    std::string const unit = in_kw ? "kW" : "hp";
    auto const motor = [&](MotorWiring wiring) {
        return [&a, in_kw, unit, wiring](std::string const& text) {
            double const size = is_plain_number(text)
                                    ? plain_number(text)
                                    : quantity_of(text, "W") / quantity_of("1 " + unit, "W");
            double const written = std::round(1e3 * size) / 1e3;
            a.motor = sim::typical_starter_motor(written, in_kw, wiring);
            a.motor_power = fmt::format("{:g} {}", written, unit);
            return written;
        };
    };
    double const size = in.answer(in_kw ? o.pump_kw : o.pump_hp, in_kw ? "--pump-kw" : "--pump-hp",
                                  in_kw ? "Pump motor, kW (0.37, 0.55, 0.75, 1.1, 1.5, 2.2 or 3.7)"
                                        : "Pump motor, hp (0.5, 0.75, 1, 1.5, 2, 3 or 5)",
                                  in_kw ? "0.75" : "1", motor(MotorWiring::three_wire));
    (void)in.answer(
        o.wiring, "--wiring", "Motor, 2-wire (no control box) or 3-wire (with a control box)", "3-wire",
        [&](std::string const& text) { return motor(wiring_of(text))(fmt::format("{:g}", size)); });
}

// Motor, switch and depth belong together: if the motor is too small for the lift, all three are asked again.
void ask_pump(Interview const& in, StarterTexts const& o, StarterAnswers& a) {
    bool const all_given = !(o.pump_hp + o.pump_kw).empty() && !o.pressure_switch.empty() && !o.depth.empty();
    std::string const length = a.metric ? "m" : "ft", pressure = a.metric ? "bar" : "psi";
    for (;;) {
        ask_motor(in, o, a);
        std::tie(a.cut_in_kpa, a.cut_out_kpa) =
            in.answer(o.pressure_switch, "--switch", "Pressure switch, cut-in/cut-out",
                      a.metric ? "2.8/4.1 bar" : "40/60 psi",
                      [&](std::string const& text) { return switch_of(text, pressure); });
        a.depth_m = in.answer(o.depth, "--depth", "Depth down to the static water level",
                              a.metric ? "40 m" : "120 ft", [&](std::string const& text) {
                                  double const m = in.talk != nullptr && o.depth.empty()
                                                       ? shown_quantity(text, length, "m")
                                                       : quantity_of(text, "m");
                                  return in_range(m, 0, 300, " m");
                              });
        std::string const message = no_pump_message(a);
        if (message.empty()) return;
        if (in.talk == nullptr || all_given) throw std::invalid_argument("init: " + message);
        in.talk->say(message);
    }
}

void ask_the_rest(Interview const& in, StarterTexts const& o, StarterAnswers& a) {
    auto const usual = sim::starter_design(a).value().tank;  // ask_pump asks until a pump is enough
    std::string const unit = a.metric ? "L" : "gal";
    double const each = usual.each_m3 / (a.metric ? 1e-3 : models::m3_per_gal);
    std::string const usual_text = (usual.count > 1 ? fmt::format("{} x ", usual.count) : std::string()) +
                                   fmt::format("{:g} {}", each, unit);
    if (in.talk != nullptr || !o.tank.empty())
        a.tank = in.answer(o.tank, "--tank", "Pressure tank, total volume (or such as 2 x 120 gal)",
                           usual_text, [&](std::string const& text) { return tank_of(text, unit); });
    a.persons = in.answer(o.persons, "--people", "People in the house", "3", [](std::string const& text) {
        return in_range(plain_number(text), 0, 1000, " persons");
    });
    a.backup = in.answer(o.backup, "--backup", "Backup: none, grid or generator", "none", backup_of);
    auto const generator = [](std::string const& text) {
        return 1e3 * in_range(shown_quantity(text, "kW", "kW"), 0.5, 100, " kW");
    };
    if (a.backup == Backup::generator && (in.talk != nullptr || !o.generator.empty()))
        a.generator_w = in.answer(o.generator, "--generator", "Generator, rated power",
                                  fmt::format("{:g} kW", sim::starter_generator_kw(a)), generator);
    if (a.backup != Backup::generator && !o.generator.empty())
        throw std::invalid_argument("init: --generator: needs --backup generator");
    a.heated = in.answer(o.battery_place, "--battery-place", "Where the battery stands: heated or unheated",
                         "heated", heated_of);
    std::tie(a.volts, a.hz) = in.answer(o.ac, "--ac", "AC supply of the house, volts and hertz",
                                        a.metric ? "230 V 50 Hz" : "240 V 60 Hz", ac_of);
}

}  // namespace

StarterFacts starter_facts(StarterTexts const& texts, StarterTalk const* talk) {
    Interview const in{talk};
    StarterFacts facts;
    facts.answers.metric =
        in.answer(texts.units, "--units", "Units of the scenario: us or metric", "us", metric_of);
    ask_place(in, texts, facts.answers, facts.weather, facts.longitude_deg);
    ask_pump(in, texts, facts.answers);
    ask_the_rest(in, texts, facts.answers);
    return facts;
}

std::string starter_weather_csv(StarterFacts const& facts) {
    auto made = sim::starter_weather(facts.answers, facts.longitude_deg);
    made.place = fmt::format("Made from latitude {:g}", facts.answers.latitude_deg);
    return weather::plain_csv_of(weather::make_weather(made));
}

}  // namespace holdwater::tools
