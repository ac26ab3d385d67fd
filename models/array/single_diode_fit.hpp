#pragma once

#include "models/array/single_diode.hpp"

namespace holdwater::models {

/// Values of a module's data sheet at 1000 W/m2 and 25 C cell.
struct ModuleDatasheet {
    double isc_a = 0;          // short circuit, 0.01 .. 100
    double voc_v = 0;          // open circuit, 0.1 .. 1000
    double imp_a = 0;          // at maximum power, 0.5 .. 1 of isc_a
    double vmp_v = 0;          // at maximum power, 0.5 .. 1 of voc_v
    double alpha_a_per_k = 0;  // of isc: A/K, not %/K; 0 .. 0.002 isc_a
    double beta_v_per_k = 0;   // of voc: V/K, not %/K; -0.01 voc_v .. -0.0005 voc_v
};

void validate(ModuleDatasheet const&);

struct SingleDiodeFit {
    SingleDiodeParameters parameters;
    /// The data sheet allows no physical solution of all five equations, so Rsh was fixed and beta is not
    /// met.
    bool shunt_fixed = false;
    double beta_v_per_k = 0;          // of the fitted curve between 25 and 35 C
    double gamma_per_k = 0;           // of its maximum power, local at 25 C
    double gamma_25_to_50_per_k = 0;  // mean between 25 and 50 C
    double residual = 0;              // largest error of the equations that were solved, relative
};

/// Five parameters from a data sheet (equations from memory, after De Soto, Klein & Beckman 2006):
///   1 I(0) = Isc   2 I(Voc) = 0   3 I(Vmp) = Imp
///   4 dP/dV = 0: Imp/Vmp = g/(1 + Rs g), g = (I0/a) exp((Vmp + Imp Rs)/a) + 1/Rsh
///   5 Voc at 35 C = Voc + 10 beta, with a, I0, IL translated
/// Damped Newton method with a numerical Jacobian on (a, IL, ln I00, Rs, 1/Rsh). The conductance, unlike Rsh
/// itself, does not make the Jacobian singular when the shunt has little effect. Start:
/// a0 = (beta T0 - Voc)/(alpha T0/Isc - 3 - Eg0/(k T0)), IL0 = Isc, I00 = Isc exp(-Voc/a0),
/// Rs = (a0 ln(1 - Imp/Isc) + Voc - Vmp)/Imp, Rsh0 = 5 Vmp/(Isc - Imp) within 50 .. 500 ohm. If Rs or Rsh
/// becomes negative, or the method does not converge, Rsh is fixed at its start value, then at ten times that
/// and so on up to 1e6 ohm, and equation 5 is dropped. Holds for crystalline silicon. Compare gamma with the
/// data sheet: a difference of more than 0.0005 1/K means that alpha or beta was given in %/K. Throws
/// ParameterError if no physical set of parameters meets equations 1 to 4.
SingleDiodeFit fit_single_diode(ModuleDatasheet const&);

}  // namespace holdwater::models
