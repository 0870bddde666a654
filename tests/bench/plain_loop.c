/* The recurrence of frostwatch.heatloss.stepping as a plain loop: vehicles, hours, steps, items,
   members innermost. No valves, heaters, holds or antifreeze. Used by bench_solver.py only. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

typedef float real;

static real ice_of(real e, real fusion) {
    real f = -e / fusion;
    return f < 0 ? 0 : f > 1 ? 1 : f;
}

static real growth(real f) {
    return -0.5f * log1pf(-(f < 0.99f ? f : 0.99f));
}

/* averaged over even growth from f to g: two-point Gauss */
static real slowing(real flat, real ring, real f, real g) {
    real inset = 0.21132487f * (g - f);
    real round = ring > 0 ? ring * 0.5f * (growth(f + inset) + growth(g - inset)) : 0;
    return 1 + flat * 0.5f * (f + g) + round;
}

/* shell: 7 numbers a vehicle; per item: liquid, solid, fusion, flat, ring, cabin, locker, harm,
   cool; outside: (hours, items); air: (hours + 1, members); roof: (hours + 1). Out: water and ice
   (hours + 1, items, members), passed (3, items, members), e (items, members). */
void step_vehicle(int items, int members, int hours, int parts, const real *shell,
                  const real *item, const real *outside, const real *air, const real *roof,
                  real *hubs, real *e, real *water, real *ice, real *passed) {
    const real h = 1800.0f / parts;
    const int n = items * members;
    real *t = calloc(n, sizeof(real)), *k = malloc(n * sizeof(real));
    real *rest = malloc(n * sizeof(real)), *by_liquid = malloc(n * sizeof(real));
    real *by_solid = malloc(n * sizeof(real));
    real *w = malloc(21 * members * sizeof(real)), *x = malloc(7 * members * sizeof(real));
    real *a = malloc(3 * members * sizeof(real)), *warm = malloc(2 * members * sizeof(real));
    real *fresh = malloc(3 * members * sizeof(real));
    const real ua = shell[0], ca = shell[1], cm = shell[2], ka = shell[3], cl = shell[4];
    const real kc = shell[5], ko = shell[6];
    memcpy(x, hubs, 3 * members * sizeof(real));
    for (int i = 0; i < items; i++)
        for (int m = 0; m < members; m++) {
            const real *p = item + 9 * i;
            real v = e[i * members + m];
            t[i * members + m] = v > 0 ? v / p[0] : v < -p[2] ? (v + p[2]) / p[1] : 0;
        }
    for (int hour = 0; hour <= hours; hour++) {
        for (int i = 0; i < items; i++)
            for (int m = 0; m < members; m++) {
                int j = i * members + m;
                water[hour * n + j] = t[j];
                ice[hour * n + j] = ice_of(e[j], item[9 * i + 2]);
            }
        if (hour == hours)
            break;
        const real *o0 = air + hour * members, *o1 = o0 + members;
        for (int i = 0; i < items; i++) {
            const real *p = item + 9 * i;
            const real out = outside[hour * items + i], whole = p[5] + p[6] + out;
            for (int m = 0; m < members; m++) {
                int j = i * members + m;
                real middle = 0.5f * (o0[m] + o1[m]);
                real around = (p[5] * x[m] + p[6] * x[members + m] + out * middle) / whole;
                real kk = whole * h, f = ice_of(e[j], p[2]);
                if (around < t[j]) {
                    real ahead = e[j] + 2 * parts * kk * (around - t[j]) / slowing(p[3], p[4], f, f);
                    kk /= slowing(p[3], p[4], f, ice_of(ahead, p[2]));
                }
                k[j] = kk;
                by_liquid[j] = 1 / (p[0] + kk);
                by_solid[j] = 1 / (p[1] + kk);
                rest[j] = e[j] - kk * t[j];
            }
        }
        for (int m = 0; m < members; m++) {
            real pc = 0, pl = 0, wc = 0, wl = 0;
            for (int i = 0; i < items; i++) {
                const real *p = item + 9 * i;
                const real whole = p[5] + p[6] + outside[hour * items + i];
                real kk = k[i * members + m], g = kk * t[i * members + m];
                pc += p[5] / whole * kk, pl += p[6] / whole * kk;
                wc += p[5] / whole * g, wl += p[6] / whole * g;
            }
            x[4 * members + m] = wc, x[5 * members + m] = wl;
            real mb = h * ka / (cm + h * ka), la = cl + h * (kc + ko) + pl, lb = h * kc / la;
            real links = h * (ua + ka + kc) + pc, back = h * ka * mb + h * kc * lb;
            real per = 1 / (ca + links - back);
            real c[7] = {(ca - links + back) * per, 2 * lb * cl * per, 2 * h * ka * (1 - mb) * per,
                         h * (ua + ko * lb) * per, 2 * per, 2 * lb * per, h * ua * per};
            for (int q = 0; q < 7; q++) {
                w[q * members + m] = c[q];
                w[(7 + q) * members + m] = lb * c[q];
                w[(14 + q) * members + m] = mb * c[q];
            }
            w[7 * members + m] += lb;
            w[8 * members + m] += 2 * cl / la - 1;
            w[10 * members + m] += h * ko / la;
            w[12 * members + m] += 2 / la;
            w[14 * members + m] += mb;
            w[16 * members + m] += 1 - 2 * mb;
        }
        for (int part = 0; part < parts; part++) {
            const real along = (2 * part + 1) / (real)parts;
            for (int m = 0; m < members; m++) {
                x[3 * members + m] = 2 * o0[m] + along * (o1[m] - o0[m]);
                x[6 * members + m] =
                    0.2f * (2 * roof[hour] + along * (roof[hour + 1] - roof[hour]));
            }
            for (int q = 0; q < 3; q++)
                for (int m = 0; m < members; m++) {
                    real sum = 0;
                    for (int s = 0; s < 7; s++)
                        sum += w[(7 * q + s) * members + m] * x[s * members + m];
                    fresh[q * members + m] = sum;
                }
            for (int m = 0; m < members; m++) {
                a[m] = x[m] + fresh[m];
                a[members + m] = x[members + m] + fresh[members + m];
                a[2 * members + m] = x[3 * members + m];
                warm[m] = warm[members + m] = 0;
            }
            for (int i = 0; i < items; i++) {
                const real *p = item + 9 * i;
                const real out = outside[hour * items + i], whole = p[5] + p[6] + out;
                const real sc = p[5] / whole, sl = p[6] / whole, so = out / whole;
                const real fusion = p[2];
                real *restrict ki = k + i * members, *restrict ei = e + i * members, *restrict ti = t + i * members;
                real *restrict resti = rest + i * members, *restrict wa = warm, *restrict wb = warm + members; const real *restrict a0 = a, *restrict a1 = a + members, *restrict a2 = a + 2*members;
                const real *restrict li = by_liquid + i * members, *restrict si = by_solid + i * members;
                for (int m = 0; m < members; m++) {
                    real r = resti[m] + ki[m] * (sc * a0[m] + sl * a1[m] +
                                                 so * a2[m]);
                    real low = r + fusion;
                    real now = (r > 0 ? r : 0) * li[m] + (low < 0 ? low : 0) * si[m];
                    real give = ki[m] * now;
                    wa[m] += sc * give;
                    wb[m] += sl * give;
                    ti[m] = now;
                    ei[m] = r - give;
                    resti[m] = ei[m] - give;
                }
                const real level[3] = {0, -p[7] * fusion, p[8] * p[0]};
                for (int q = 0; q < 3; q++) {
                    real *restrict pass = passed + (q * items + i) * members;
                    for (int m = 0; m < members; m++)
                        { real at = hour + (part + 1) / (real)parts; real c = ei[m] < level[q] ? at : 1e10f; pass[m] = c < pass[m] ? c : pass[m]; }
                }
            }
            for (int m = 0; m < members; m++) {
                x[m] = fresh[m] + (warm[m] - x[4 * members + m]) / ca;
                x[members + m] =
                    fresh[members + m] + (warm[members + m] - x[5 * members + m]) / cl;
                x[2 * members + m] = fresh[2 * members + m];
                x[4 * members + m] = warm[m], x[5 * members + m] = warm[members + m];
            }
        }
    }
    memcpy(hubs, x, 3 * members * sizeof(real));
    free(t), free(k), free(rest), free(by_liquid), free(by_solid), free(w), free(x), free(a);
    free(warm), free(fresh);
}
