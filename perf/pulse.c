/*
 * The fixed-step pulse in C, for comparing speed: the arithmetic of src/physics/pulse (kernel.ts,
 * electric.ts, oscillator.ts, propagator.ts, hysteresis.ts, circuit.ts), books of energy and recorded series
 * included. Two coordinates go side by side, as in the compiled step of the project.
 *
 *   gcc -O3 -ffp-contract=off -o pulse perf/pulse.c -lm
 *   pulse FILE [REPEATS]      FILE as perf/pulseRaw.ts writes it: lines of a name, a count and that many numbers
 *
 * Prints one JSON object: median time of a pulse and the gas of one. A run whose chamber pressure asks
 * for a new gas table ends with an error; drawn waveforms are not known here.
 */
#define _POSIX_C_SOURCE 199309L
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

enum { MC = 20, MN = 8, ML = 4, MR = 4, MX = 2 * MN + 2, DEPTH = 64, NETWORKS = 32, STEPS_KEPT = 96, MAX_POWERS = 32 };
enum { PRODUCTS = (MN + 1) * (2 * MN + 3) };
enum { OFF, HIGH, LOW, DIODE_HIGH, DIODE_LOW, WAVE, LIMITED };
enum { LINEAR, AT_LIMIT, BLOCKED };
enum { IN_SUPPLIES, SUPPLY_LOSS, STORAGE_ESR, LEAKAGE, BLEEDER, SERIES_R, SWITCH_LOSS, ACCOUNTS };

#define WIRE 1e-3
#define PARTS 16
#define CHORDS 2
#define SETTLING 2

typedef double pair __attribute__((vector_size(16)));

/* Numbers by name ------------------------------------------------------------------------------- */
typedef struct {
  char name[40];
  int count;
  double *values;
} Entry;
static Entry entries[200];
static int entry_count;

static void read_all(const char *path) {
  FILE *f = fopen(path, "r");
  if (!f) {
    fprintf(stderr, "%s can't be opened\n", path);
    exit(2);
  }
  Entry e;
  while (fscanf(f, "%39s %d", e.name, &e.count) == 2) {
    e.values = malloc(sizeof(double) * (e.count ? e.count : 1));
    for (int i = 0; i < e.count; i++)
      if (fscanf(f, "%lf", &e.values[i]) != 1) {
        fprintf(stderr, "%s: %s is cut short\n", path, e.name);
        exit(2);
      }
    entries[entry_count++] = e;
  }
  fclose(f);
}
static double *list(const char *name, int *count) {
  for (int i = 0; i < entry_count; i++)
    if (!strcmp(entries[i].name, name)) {
      if (count) *count = entries[i].count;
      return entries[i].values;
    }
  fprintf(stderr, "no %s\n", name);
  exit(2);
}
static double number(const char *name) { return list(name, NULL)[0]; }

/* Model ------------------------------------------------------------------------------------------- */
static int count, paired;
static double omega[MC], zeta[MC], gas_share[MC], pad[MC], jump[MC], rest_moment;
static int nodes, layers, rails, steps;
static double incidence[ML][MN], inverse[ML][ML], theta[ML], parallel_c[ML], own[MN], scale_v;
/* Shares that ask for new tangents, and for slopes over the step. */
static double renew_share, close_share;
typedef struct {
  double voltage, resistance, limit, storage, esr, leakage, bleeder;
  int sinks, terminal, inside;
} Rail;
static Rail rail_of[MR];
static int output_node, high_node, low_node;
static double on_resistance, series_high, series_low, current_max;
static double h_grid;
static int has_seat, has_gas, has_chamber;
static double hunt_factor, stick_force, stick_stretch, squeeze, squeeze_gap, squeeze_max, pad_depth;
static double *pad_table;
static int pad_points;
static double gas_top, gas_closed, gas_plenum, gas_ratio, *gas_force_table, *gas_flow_table;
static int gas_points;
static double plenum_volume, plenum_feed, plenum_gamma, plenum_specific, plenum_set;
static double chamber_volume, chamber_speed, chamber_base, chamber_specific;
static double *command_time, *command_state;
static int commands;

/* Hysteresis ---------------------------------------------------------------------------------------- */
typedef struct {
  int present, direction, top_count;
  double density, reach, q, v, dissipated, work;
  double centre_q, centre_v, wide, share, from_q, from_v, closes, booked;
  double rq[DEPTH], rv[DEPTH];
} Loop;

static inline double rise(double k, double R, double w) { return w >= 2 * R ? k * R * R : k * w * (R - 0.25 * w); }
static inline double area(double k, double R, double width) {
  const double w = fmin(width, 2 * R);
  return k * w * w * (0.5 * R - w / 12) + k * R * R * (width - w);
}
static inline double loss(double k, double R, double width) {
  const double w = fmin(width, 2 * R);
  return k * w * w * w / 24 + 0.5 * k * R * R * (width - w);
}
/** The branch in hand, from the last reversal on. */
static void open_branch(Loop *l) {
  const int top = l->top_count - 1;
  l->wide = top ? 1 : 2;
  l->share = top ? 1 : 0.5;
  l->from_q = top ? l->rq[top] : l->centre_q;
  l->from_v = top ? l->rv[top] : l->centre_v;
  l->closes = top ? fabs(l->rq[top - 1] - l->rq[top]) : INFINITY;
  l->booked = fabs(l->q - l->from_q);
}
static void book_branch(Loop *l) {
  const double k = l->density, R = l->reach, width = fabs(l->q - l->from_q);
  const double w = l->wide, n = l->share;
  l->dissipated += n * (loss(k, R, w * width) - loss(k, R, w * l->booked));
  l->work += l->direction * l->from_v * (width - l->booked) + n * n * (area(k, R, w * width) - area(k, R, w * l->booked));
  l->booked = width;
}
static double peek_far(const Loop *l, double q) {
  const double k = l->density, R = l->reach, width = fabs(q - l->q);
  int sign = l->direction, top = l->top_count - 1;
  if ((q - l->q) * sign < 0) {
    sign = -sign;
    if (width <= fabs((top ? l->rq[top] : 2 * l->centre_q - l->q) - l->q)) return l->v + sign * rise(k, R, width);
    top--;
  }
  for (; top > 0; top -= top == 1 ? 1 : 2) {
    const double wide = fabs(q - l->rq[top]);
    if (wide <= fabs(l->rq[top - 1] - l->rq[top])) return l->rv[top] + sign * rise(k, R, wide);
  }
  return l->centre_v + 0.5 * sign * rise(k, R, 2 * fabs(q - l->centre_q));
}
static inline double peek(const Loop *l, double q) {
  const double width = (q - l->from_q) * l->direction;
  if ((q - l->q) * l->direction >= 0 && width <= l->closes)
    return l->from_v + l->share * l->direction * rise(l->density, l->reach, l->wide * width);
  return peek_far(l, q);
}
static void move_far(Loop *l, double q) {
  const double k = l->density, R = l->reach;
  double step = q - l->q;
  if (step == 0) return;
  if (step * l->direction < 0) {
    if (l->top_count == 1) {
      l->rq[0] = 2 * l->centre_q - l->q;
      l->rv[0] = 2 * l->centre_v - l->v;
    }
    if (l->top_count == DEPTH) l->top_count -= 2;
    l->rq[l->top_count] = l->q;
    l->rv[l->top_count] = l->v;
    l->top_count++;
    l->direction = -l->direction;
  }
  const double sign = l->direction;
  for (;;) {
    const int top = l->top_count - 1;
    if (top == 0) {
      const double was = 2 * fabs(l->q - l->centre_q), now = 2 * fabs(q - l->centre_q);
      l->dissipated += 0.5 * (loss(k, R, now) - loss(k, R, was));
      l->work += 0.5 * sign * l->centre_v * (now - was) + 0.25 * (area(k, R, now) - area(k, R, was));
      l->q = q;
      l->v = l->centre_v + 0.5 * sign * rise(k, R, now);
      return;
    }
    const double from_q = l->rq[top], from_v = l->rv[top];
    const double before = fabs(l->q - from_q);
    const double closes = fabs(l->rq[top - 1] - from_q);
    const double wanted = fabs(q - from_q);
    const double width = fmin(wanted, closes);
    l->dissipated += loss(k, R, width) - loss(k, R, before);
    l->work += sign * from_v * (width - before) + area(k, R, width) - area(k, R, before);
    l->q = wanted <= closes ? q : from_q + sign * width;
    l->v = from_v + sign * rise(k, R, width);
    if (wanted < closes) return;
    l->top_count -= top == 1 ? 1 : 2;
    step = q - l->q;
    if (step == 0) return;
  }
}
static inline void move(Loop *l, double q) {
  const double width = (q - l->from_q) * l->direction;
  if ((q - l->q) * l->direction >= 0 && width < l->closes) {
    l->q = q;
    l->v = l->from_v + l->share * l->direction * rise(l->density, l->reach, l->wide * width);
    return;
  }
  book_branch(l);
  move_far(l, q);
  open_branch(l);
}
static inline double slope_of(const Loop *l) {
  const double width = l->wide * (l->q - l->from_q) * l->direction;
  return width >= 2 * l->reach ? 0 : l->density * (l->reach - 0.5 * width);
}

/* Small matrices ------------------------------------------------------------------------------------ */
/** Inverse of a (n x n, row stride ML) by elimination with row pivots. */
static void invert(double a[ML][ML], double out[ML][ML]) {
  double m[ML][2 * ML];
  const int n = layers;
  for (int i = 0; i < n; i++)
    for (int j = 0; j < n; j++) {
      m[i][j] = a[i][j];
      m[i][n + j] = i == j;
    }
  for (int c = 0; c < n; c++) {
    int p = c;
    for (int r = c + 1; r < n; r++)
      if (fabs(m[r][c]) > fabs(m[p][c])) p = r;
    for (int j = 0; j < 2 * n; j++) {
      const double t = m[c][j];
      m[c][j] = m[p][j];
      m[p][j] = t;
    }
    for (int r = 0; r < n; r++) {
      if (r == c) continue;
      const double f = m[r][c] / m[c][c];
      if (f != 0)
        for (int j = c; j < 2 * n; j++) m[r][j] -= f * m[c][j];
    }
  }
  for (int i = 0; i < n; i++)
    for (int j = 0; j < n; j++) out[i][j] = m[i][n + j] / m[i][i];
}

typedef struct {
  int account;
  double a[MN + 2], b[MN + 2];
} Power;
typedef struct {
  int output, sign, code, powers;
  double Y[MN][MN], source[MN];
  Power power[MAX_POWERS];
} Network;
typedef struct {
  Network *net;
  double lambda[MN], u[MN][MN], projection[MN][MN];
} Eigen;
typedef struct {
  int output, sign, code, used;
  double h;
  Eigen *eigen;
  double P[MN][MN], S[MN][MN], per_slope[MN], moment;
  double products[PRODUCTS];
} Step;

/* State ---------------------------------------------------------------------------------------------- */
typedef struct {
  double q[MC] __attribute__((aligned(16))), p[MC] __attribute__((aligned(16)));
  double v[MN], ql[ML], qp[ML], r[ML], rp[ML], rho[MN], K[ML], Kp[ML], dq[ML], dqp[ML], last_step;
  Loop series[ML], parallel[ML];
  int output, output_sign, commanded, supply[MR], supply_sign[MR];
  double moment, slope, y, speed, force, contact, gas, flow, plenum, plenum_gas, plenum_loss, chamber, surface, hunt, meeting;
  double mass, impact, fine, growth, kinetic;
  int touching, stuck, contacts;
  double e_gas, e_struct, e_damp, e_contact, e_film, e_stick, e_moment;
  double r_gas, r_struct, r_damp, r_contact, r_film, r_stick;
  double accounts[ACCOUNTS];
} State;
static State s;

static double Ce[ML][ML], Cp[ML], theta_e[ML], kappa, a_slope[MN], G[MN][MN];
static double w[MN], va[MN], r_next[ML], rp_next[ML], rho_next[MN], delta_v[ML];
static int whole_step;
static Network *networks[NETWORKS];
static Eigen *eigens[NETWORKS];
static Step *step_of[STEPS_KEPT], *active;
static int network_count, eigen_count, step_count;

static void book(void);

static void *room(size_t size) {
  void *p = calloc(1, size);
  if (!p) exit(3);
  return p;
}

/* Network -------------------------------------------------------------------------------------------- */
static void connect(Network *n, int from, int to, double g) {
  if (from >= 0) n->Y[from][from] += g;
  if (to >= 0) n->Y[to][to] += g;
  if (from >= 0 && to >= 0) {
    n->Y[from][to] -= g;
    n->Y[to][from] -= g;
  }
}
static Power *power(Network *n, int account) {
  Power *p = &n->power[n->powers++];
  memset(p, 0, sizeof *p);
  p->account = account;
  return p;
}
static void dissipate(Network *n, int account, int from, int to, double g) {
  Power *p = power(n, account);
  if (from >= 0) p->a[from] += 1;
  if (to >= 0) p->a[to] -= 1;
  for (int i = 0; i < nodes + 2; i++) p->b[i] = g * p->a[i];
}
static double resistor(Network *n, int from, int to, double resistance, int account, double share) {
  const double g = 1 / fmax(resistance, WIRE);
  connect(n, from, to, g);
  dissipate(n, account, from, to, g * share);
  return g;
}
static Network *network_for(int code) {
  for (int i = 0; i < network_count; i++) {
    Network *n = networks[i];
    if (n->output == s.output && n->sign == s.output_sign && n->code == code) return n;
  }
  if (network_count == NETWORKS) exit(4);
  Network *n = networks[network_count] ? networks[network_count] : room(sizeof *n);
  networks[network_count++] = n;
  memset(n, 0, sizeof *n);
  n->output = s.output;
  n->sign = s.output_sign;
  n->code = code;
  for (int r = 0; r < rails; r++) {
    const Rail *rail = &rail_of[r];
    const int t = rail->terminal, inside = rail->inside;
    if (inside >= 0 && inside != t) resistor(n, inside, t, rail->esr, STORAGE_ESR, 1);
    if (inside >= 0 && isfinite(rail->leakage)) resistor(n, inside, -1, rail->leakage, LEAKAGE, 1);
    if (isfinite(rail->bleeder)) resistor(n, t, -1, rail->bleeder, BLEEDER, 1);
    if (s.supply[r] == BLOCKED) continue;
    double current[MN + 2] = {0};
    if (s.supply[r] == AT_LIMIT) {
      const double i = rail->limit * s.supply_sign[r];
      n->source[t] += i;
      current[nodes] = i;
    } else {
      const double g = 1 / fmax(rail->resistance, WIRE);
      connect(n, t, -1, g);
      n->source[t] += g * rail->voltage;
      current[nodes] = g * rail->voltage;
      current[t] = -g;
    }
    Power *in = power(n, IN_SUPPLIES), *lost = power(n, SUPPLY_LOSS);
    in->a[nodes] = lost->a[nodes] = rail->voltage;
    lost->a[t] = -1;
    memcpy(in->b, current, sizeof current);
    memcpy(lost->b, current, sizeof current);
  }
  const int at = output_node;
  if (s.output == LIMITED) {
    const int to_high = abs(s.output_sign) == 1;
    const int node = to_high ? high_node : low_node;
    const double i = current_max * (s.output_sign > 0 ? 1 : -1), series = to_high ? series_high : series_low;
    n->source[at] += i;
    if (node >= 0) n->source[node] -= i;
    Power *one = power(n, SERIES_R), *two = power(n, SWITCH_LOSS);
    one->a[nodes] = series * i;
    two->a[nodes] = -series * i;
    if (node >= 0) two->a[node] = 1;
    two->a[at] = -1;
    one->b[nodes] = two->b[nodes] = i;
  } else if (s.output != OFF) {
    const int to_high = s.output == HIGH || s.output == DIODE_HIGH;
    const double series = to_high ? series_high : series_low;
    const double total = fmax(series + on_resistance, WIRE), share = series / total;
    const int node = to_high ? high_node : low_node;
    const double g = resistor(n, at, node, total, SERIES_R, share);
    dissipate(n, SWITCH_LOSS, at, node, (1 - share) * g);
  }
  return n;
}

static void forward_column(double L[MN][MN], double a[MN][MN], int c) {
  for (int i = 0; i < nodes; i++) {
    double sum = a[i][c];
    for (int k = 0; k < i; k++) sum -= L[i][k] * a[k][c];
    a[i][c] = sum / L[i][i];
  }
}
static Eigen *eigen_for(Network *net) {
  for (int i = 0; i < eigen_count; i++)
    if (eigens[i]->net == net) return eigens[i];
  if (eigen_count == NETWORKS) exit(4);
  Eigen *e = eigens[eigen_count] ? eigens[eigen_count] : room(sizeof *e);
  eigens[eigen_count++] = e;
  e->net = net;
  const int n = nodes;
  double L[MN][MN] = {{0}}, a[MN][MN], z[MN][MN] = {{0}};
  for (int j = 0; j < n; j++) {
    double pivot = G[j][j];
    for (int k = 0; k < j; k++) pivot -= L[j][k] * L[j][k];
    const double diagonal = sqrt(pivot);
    L[j][j] = diagonal;
    for (int i = j + 1; i < n; i++) {
      double sum = G[i][j];
      for (int k = 0; k < j; k++) sum -= L[i][k] * L[j][k];
      L[i][j] = sum / diagonal;
    }
  }
  memcpy(a, net->Y, sizeof a);
  for (int turn = 0; turn < 2; turn++) {
    for (int c = 0; c < n; c++) forward_column(L, a, c);
    if (turn == 0)
      for (int i = 0; i < n; i++)
        for (int j = 0; j < i; j++) {
          const double t = a[i][j];
          a[i][j] = a[j][i];
          a[j][i] = t;
        }
  }
  for (int i = 0; i < n; i++) {
    z[i][i] = 1;
    for (int j = 0; j < i; j++) a[i][j] = a[j][i] = 0.5 * (a[i][j] + a[j][i]);
  }
  for (int sweep = 0; sweep < 30; sweep++) {
    int turned = 0;
    for (int p = 0; p < n; p++)
      for (int q = p + 1; q < n; q++) {
        const double apq = a[p][q], app = a[p][p], aqq = a[q][q];
        if (fabs(apq) <= 1e-17 * sqrt(fabs(app * aqq))) continue;
        turned = 1;
        const double half = (aqq - app) / (2 * apq);
        const double t = 1 / (fabs(half) + hypot(1, half));
        const double tn = half < 0 ? -t : t, cs = 1 / hypot(1, tn), sn = tn * cs;
        for (int k = 0; k < n; k++) {
          const double zp = z[k][p], zq = z[k][q];
          z[k][p] = cs * zp - sn * zq;
          z[k][q] = sn * zp + cs * zq;
          if (k == p || k == q) continue;
          const double ap = a[k][p], aq = a[k][q];
          a[k][p] = a[p][k] = cs * ap - sn * aq;
          a[k][q] = a[q][k] = sn * ap + cs * aq;
        }
        a[p][p] = app - tn * apq;
        a[q][q] = aqq + tn * apq;
        a[p][q] = a[q][p] = 0;
      }
    if (!turned) break;
  }
  for (int j = 0; j < n; j++) {
    e->lambda[j] = fmax(0, a[j][j]);
    for (int i = n - 1; i >= 0; i--) {
      double sum = z[i][j];
      for (int k = i + 1; k < n; k++) sum -= L[k][i] * e->u[k][j];
      e->u[i][j] = sum / L[i][i];
    }
    for (int i = 0; i < n; i++) {
      double sum = 0;
      for (int k = 0; k <= i; k++) sum += z[k][j] * L[i][k];
      e->projection[j][i] = sum;
    }
  }
  return e;
}

static inline double phi1(double x) { return fabs(x) < 1e-12 ? 1 - 0.5 * x : -expm1(-x) / x; }
static inline double phi2(double x) {
  return x < 0.02 ? 1.0 / 2 - x / 6 + x * x / 24 - x * x * x / 120 : (1 - phi1(x)) / x;
}
static int supplies_code(void) {
  int code = 0;
  for (int r = 0; r < rails; r++) code = code * 6 + 2 * s.supply[r] + (s.supply_sign[r] < 0);
  return code;
}
static Step *step_for(double h) {
  const int code = supplies_code();
  for (int i = 0; i < step_count; i++) {
    Step *t = step_of[i];
    if (t->output == s.output && t->sign == s.output_sign && t->code == code && t->h == h) return t;
  }
  if (step_count == STEPS_KEPT) {
    book();
    step_count = 0;
  }
  Step *t = step_of[step_count] ? step_of[step_count] : room(sizeof *t);
  step_of[step_count++] = t;
  t->output = s.output;
  t->sign = s.output_sign;
  t->code = code;
  t->used = 0;
  t->h = h;
  t->eigen = eigen_for(network_for(code));
  memset(t->P, 0, sizeof t->P);
  memset(t->S, 0, sizeof t->S);
  memset(t->products, 0, sizeof t->products);
  const Eigen *m = t->eigen;
  for (int j = 0; j < nodes; j++) {
    const double e = exp(-m->lambda[j] * h), g = h * phi1(m->lambda[j] * h);
    for (int i = 0; i < nodes; i++)
      for (int k = 0; k < nodes; k++) {
        t->P[i][k] += m->u[i][j] * e * m->projection[j][k];
        t->S[i][k] += m->u[i][j] * g * m->u[k][j];
      }
  }
  t->moment = kappa;
  for (int i = 0; i < nodes; i++) {
    double sum = 0;
    for (int j = 0; j < nodes; j++) sum += t->S[i][j] * a_slope[j];
    t->per_slope[i] = sum / h;
    t->moment += a_slope[i] * t->per_slope[i];
  }
  return t;
}

/* Books ------------------------------------------------------------------------------------------------ */
static const double GAUSS_X[8] = {-0.9602898564975363, -0.7966664774136267, -0.5255324099163290, -0.1834346424956498,
                                  0.1834346424956498,  0.5255324099163290,  0.7966664774136267,  0.9602898564975363};
static const double GAUSS_W[8] = {0.1012285362903763, 0.2223810344533745, 0.3137066458778873, 0.3626837833783620,
                                  0.3626837833783620, 0.3137066458778873, 0.2223810344533745, 0.1012285362903763};
static double slow_integral(double x, double y) {
  const double e = exp(-x);
  double moment = phi1(x), sum = 0, factor = 1;
  for (int k = 1; k <= 4; k++) {
    moment = (k * moment - e) / x;
    sum += factor * moment;
    factor *= -y / (k + 1);
  }
  return sum;
}
static void product_integrals(double x, double y, double *ee, double *eg, double *gg) {
  *ee = phi1(x + y);
  *eg = *gg = 0;
  if (x <= 1 && y <= 1) {
    for (int k = 0; k < 8; k++) {
      const double t = 0.5 * (1 + GAUSS_X[k]), weight = 0.5 * GAUSS_W[k], g = t * phi1(y * t);
      *eg += weight * exp(-x * t) * g;
      *gg += weight * t * phi1(x * t) * g;
    }
  } else if (y < 0.02) {
    *eg = slow_integral(x, y);
    *gg = (phi2(y) - *eg) / x;
  } else if (x < 0.02) {
    *eg = (phi1(x) - *ee) / y;
    *gg = (phi2(x) - slow_integral(y, x)) / y;
  } else {
    *eg = (phi1(x) - *ee) / y;
    *gg = (1 - phi1(x) - phi1(y) + *ee) / (x * y);
  }
}
static void turn_products(const Eigen *m, double Z[MX][MX], int size) {
  const int n = nodes;
  double column[2 * MN];
  for (int c = 0; c < size; c++) {
    for (int j = 0; j < n; j++) {
      double e = 0, g = 0;
      for (int i = 0; i < n; i++) {
        e += m->projection[j][i] * Z[i][c];
        g += m->u[i][j] * Z[n + i][c];
      }
      column[j] = e;
      column[n + j] = g;
    }
    for (int j = 0; j < 2 * n; j++) Z[j][c] = column[j];
  }
}
static void both(double Z[MX][MX], int i, int j, double f) {
  Z[i][j] *= f;
  if (i != j) Z[j][i] *= f;
}
static void book_step(Step *t) {
  const int n = nodes, size = 2 * n + 2;
  const double h = t->h;
  const Eigen *m = t->eigen;
  double Z[MX][MX];
  int at = 0;
  for (int i = 0; i < size; i++)
    for (int j = i; j < size; j++) Z[i][j] = Z[j][i] = t->products[at++];
  turn_products(m, Z, size);
  for (int i = 0; i < size; i++)
    for (int j = 0; j < i; j++) {
      const double x = Z[i][j];
      Z[i][j] = Z[j][i];
      Z[j][i] = x;
    }
  turn_products(m, Z, size);
  for (int i = 0; i < n; i++) {
    const double x = m->lambda[i] * h;
    for (int j = 0; j < n; j++) {
      double ee, eg, gg;
      product_integrals(x, m->lambda[j] * h, &ee, &eg, &gg);
      if (j >= i) {
        both(Z, i, j, ee * h);
        both(Z, n + i, n + j, gg * h * h * h);
      }
      both(Z, i, n + j, eg * h * h);
    }
    for (int c = 2 * n; c < size; c++) {
      both(Z, i, c, h * phi1(x));
      both(Z, n + i, c, h * h * phi2(x));
    }
  }
  both(Z, 2 * n, 2 * n, h);
  both(Z, 2 * n, 2 * n + 1, h);
  both(Z, 2 * n + 1, 2 * n + 1, h);
  for (int k = 0; k < m->net->powers; k++) {
    const Power *p = &m->net->power[k];
    double rows[2][MX];
    for (int side = 0; side < 2; side++) {
      const double *of = side ? p->b : p->a;
      for (int j = 0; j < n; j++) {
        double along = 0;
        for (int i = 0; i < n; i++) along += of[i] * m->u[i][j];
        rows[side][j] = rows[side][n + j] = along;
      }
      rows[side][2 * n] = of[n];
      rows[side][2 * n + 1] = of[n + 1];
    }
    double sum = 0;
    for (int i = 0; i < size; i++) {
      if (rows[0][i] == 0) continue;
      double line = 0;
      for (int j = 0; j < size; j++) line += Z[i][j] * rows[1][j];
      sum += rows[0][i] * line;
    }
    s.accounts[p->account] += sum;
  }
}
static void book(void) {
  for (int i = 0; i < step_count; i++) {
    Step *t = step_of[i];
    if (!t->used) continue;
    book_step(t);
    memset(t->products, 0, sizeof t->products);
    t->used = 0;
  }
}

/* Layers ------------------------------------------------------------------------------------------------ */
static void rho_into(const double *r, const double *rp, double *out) {
  for (int i = 0; i < nodes; i++) out[i] = 0;
  for (int k = 0; k < layers; k++) {
    double charge = Cp[k] * rp[k];
    for (int j = 0; j < layers; j++) charge += Ce[k][j] * r[j];
    if (charge == 0) continue;
    for (int i = 0; i < nodes; i++) out[i] += incidence[k][i] * charge;
  }
}
static void renew(const double *chord, const double *chord_p) {
  book();
  step_count = eigen_count = 0;
  double A[ML][ML], back[ML];
  memcpy(A, inverse, sizeof A);
  for (int k = 0; k < layers; k++) {
    const double slope = chord ? chord[k] : s.series[k].present ? slope_of(&s.series[k]) : 0;
    s.r[k] += (s.K[k] - slope) * s.ql[k];
    s.K[k] = slope;
    A[k][k] += slope;
    const double other = chord ? chord_p[k] : s.parallel[k].present ? slope_of(&s.parallel[k]) : 0;
    s.rp[k] += (s.Kp[k] - other) * s.qp[k];
    s.Kp[k] = other;
    Cp[k] = parallel_c[k] == 0 ? 0 : 1 / (1 / parallel_c[k] + other);
  }
  invert(A, Ce);
  kappa = 0;
  for (int k = 0; k < layers; k++) {
    double sum = 0;
    for (int j = 0; j < layers; j++) sum += inverse[k][j] * theta[j];
    back[k] = sum;
    kappa += theta[k] * sum;
  }
  for (int k = 0; k < layers; k++) {
    double sum = 0;
    for (int j = 0; j < layers; j++) sum += Ce[k][j] * back[j];
    theta_e[k] = sum;
    kappa -= sum * back[k];
  }
  kappa = fmax(0, kappa);
  memset(G, 0, sizeof G);
  for (int i = 0; i < nodes; i++) G[i][i] = own[i];
  for (int k = 0; k < layers; k++)
    for (int j = 0; j < layers; j++) {
      const double c = Ce[k][j] + (k == j ? Cp[k] : 0);
      if (c == 0) continue;
      for (int i = 0; i < nodes; i++) {
        const double left = incidence[k][i] * c;
        if (left == 0) continue;
        for (int m = 0; m < nodes; m++) G[i][m] += left * incidence[j][m];
      }
    }
  memset(a_slope, 0, sizeof a_slope);
  for (int k = 0; k < layers; k++)
    for (int i = 0; i < nodes; i++) a_slope[i] += incidence[k][i] * theta_e[k];
  rho_into(s.r, s.rp, s.rho);
}

static void choose_output(void) {
  s.output_sign = 0;
  const double v = s.v[output_node];
  const double high = high_node < 0 ? 0 : s.v[high_node], low = low_node < 0 ? 0 : s.v[low_node];
  if (s.commanded == OFF) {
    const double noise = 1e-12 * (fabs(high) + fabs(low));
    if (v > fmax(high, low) + noise)
      s.output = high >= low ? DIODE_HIGH : DIODE_LOW;
    else if (v < fmin(high, low) - noise)
      s.output = high >= low ? DIODE_LOW : DIODE_HIGH;
    else
      s.output = OFF;
    return;
  }
  s.output = s.commanded;
  if (!isfinite(current_max)) return;
  const int to_high = s.commanded == HIGH;
  const double i = ((to_high ? high : low) - v) / fmax((to_high ? series_high : series_low) + on_resistance, WIRE);
  if (fabs(i) <= current_max) return;
  s.output = LIMITED;
  s.output_sign = (to_high ? 1 : 2) * (i < 0 ? -1 : 1);
}
/** Current that a plain source would drive in the limit's direction. */
static double limited_current(const double *v) {
  const int to_high = abs(s.output_sign) == 1, node = to_high ? high_node : low_node;
  const double resistance = fmax((to_high ? series_high : series_low) + on_resistance, WIRE);
  const double i = ((node < 0 ? 0 : v[node]) - v[output_node]) / resistance;
  return i * (s.output_sign < 0 ? -1 : 1);
}
static int choose_supplies(const double *v, int settling) {
  int changed = 0;
  for (int r = 0; r < rails; r++) {
    const Rail *rail = &rail_of[r];
    const double resistance = fmax(rail->resistance, WIRE), sign = rail->voltage < 0 ? -1 : 1;
    const double i = (rail->voltage - v[rail->terminal]) / resistance;
    const double noise = 1e-10 + 1e-12 * fabs(rail->voltage) / resistance;
    int state = LINEAR, way = 1;
    if (!rail->sinks && sign * i < -noise)
      state = BLOCKED;
    else if (isfinite(rail->limit) && fabs(i) > rail->limit * (1 + 1e-9) + noise) {
      state = AT_LIMIT;
      way = i < 0 ? -1 : 1;
    }
    if (settling && (state != s.supply[r] || way != s.supply_sign[r])) {
      state = LINEAR;
      way = 1;
    }
    if (state != s.supply[r] || way != s.supply_sign[r]) {
      s.supply[r] = state;
      s.supply_sign[r] = way;
      changed = 1;
    }
  }
  return changed;
}
static void propagate(const Step *t) {
  for (int i = 0; i < nodes; i++) {
    double sum = 0;
    for (int j = 0; j < nodes; j++) sum += t->P[i][j] * s.v[j] + t->S[i][j] * w[j];
    va[i] = sum;
  }
}
static void fill_source(const Step *t, double h) {
  for (int i = 0; i < nodes; i++) w[i] = t->eigen->net->source[i] + (rho_next[i] - s.rho[i]) / h;
}
static int branched;
static double ahead[ML], ahead_p[ML];
static void try_step(double h) {
  for (int k = 0; branched && k < layers; k++) {
    if (s.series[k].present) {
      const double q = s.ql[k] + s.dq[k];
      ahead[k] = q;
      r_next[k] = peek(&s.series[k], q) - s.K[k] * q;
    }
    if (s.parallel[k].present) {
      const double q = s.qp[k] + s.dqp[k];
      ahead_p[k] = q;
      rp_next[k] = peek(&s.parallel[k], q) - s.Kp[k] * q;
    }
  }
  if (branched) rho_into(r_next, rp_next, rho_next);
  Step *t = step_for(h);
  for (int pass = 0;; pass++) {
    fill_source(t, h);
    propagate(t);
    if (!choose_supplies(va, pass >= SETTLING)) break;
    t = step_for(h);
  }
  active = t;
}
/** No slope is steeper than that at a reversal. */
static inline int off(const Loop *l, double q, double expected, double K, double r, double limit) {
  return fabs(q - expected) * l->density * l->reach > limit && fabs(peek_far(l, q) - K * q - r) > limit;
}
static double over(const Loop *l, double from, double change, double now) {
  if (!l->present) return 0;
  return fabs(change) > 1e-9 * l->reach ? (peek_far(l, from + change) - peek_far(l, from)) / change : now;
}
static int turns(double slope) {
  if (!branched) return 0;
  int far = 0;
  const double limit = close_share * scale_v;
  for (int k = 0; k < layers; k++) {
    double sum = 0;
    for (int i = 0; i < nodes; i++) sum += incidence[k][i] * va[i];
    delta_v[k] = sum;
  }
  for (int k = 0; k < layers; k++) {
    if (s.series[k].present) {
      double q = theta_e[k] * slope;
      for (int j = 0; j < layers; j++) q += Ce[k][j] * (delta_v[j] - r_next[j]);
      if (off(&s.series[k], q, ahead[k], s.K[k], r_next[k], limit)) far = 1;
      s.dq[k] = q - s.ql[k];
    }
    if (s.parallel[k].present) {
      const double q = Cp[k] * (delta_v[k] - rp_next[k]);
      if (off(&s.parallel[k], q, ahead_p[k], s.Kp[k], rp_next[k], limit)) far = 1;
      s.dqp[k] = q - s.qp[k];
    }
  }
  if (!far) return 0;
  double chord[ML], chord_p[ML];
  for (int k = 0; k < layers; k++) {
    chord[k] = over(&s.series[k], s.ql[k], s.dq[k], s.K[k]);
    chord_p[k] = parallel_c[k] == 0 ? 0 : over(&s.parallel[k], s.qp[k], s.dqp[k], s.Kp[k]);
  }
  renew(chord, chord_p);
  return 1;
}
static void gather(Step *t) {
  const int n = 2 * nodes + 2;
  double X[MX];
  for (int i = 0; i < nodes; i++) {
    X[i] = s.v[i];
    X[nodes + i] = w[i];
  }
  X[2 * nodes] = 1;
  X[2 * nodes + 1] = 0;
  double *sums = t->products;
  for (int i = 0; i < n; i++)
    for (int j = i; j < n; j++) *sums++ += X[i] * X[j];
  t->used = 1;
}
static double moment_at_zero, moment_per_slope;
static void begin_step(double h, double slope, double slope_change) {
  const double scale = h / s.last_step;
  for (int k = 0; k < layers; k++) {
    s.dq[k] *= scale;
    s.dqp[k] *= scale;
  }
  choose_output();
  for (int pass = 0;; pass++) {
    try_step(h);
    if (pass == CHORDS || !turns(slope + slope_change)) break;
  }
  whole_step = 1;
  if (s.output == LIMITED && limited_current(va) < current_max) {
    const double part = h / PARTS;
    double before[MN];
    memcpy(before, s.rho, sizeof before);
    for (int i = 0; i < PARTS; i++) {
      choose_output();
      for (int again = 1; again;) {
        again = 0;
        Step *t = step_for(part);
        for (int j = 0; j < nodes; j++)
          w[j] = t->eigen->net->source[j] + (rho_next[j] - before[j] - a_slope[j] * slope_change) / h;
        propagate(t);
        if (s.output == LIMITED && limited_current(va) < 0) {
          s.output = s.commanded;
          s.output_sign = 0;
          again = 1;
        } else
          gather(t);
      }
      memcpy(s.v, va, sizeof s.v);
    }
    whole_step = 0;
  }
  double moment = -kappa * slope;
  for (int i = 0; i < nodes; i++) moment += a_slope[i] * va[i];
  for (int k = 0; k < layers; k++) moment -= theta_e[k] * r_next[k];
  moment_at_zero = moment;
  moment_per_slope = whole_step ? active->moment : kappa;
}
static void finish_step(double h, double change, double slope) {
  if (whole_step) {
    for (int i = 0; i < nodes; i++) w[i] -= a_slope[i] * change / h;
    gather(active);
    for (int i = 0; i < nodes; i++) s.v[i] = va[i] - active->per_slope[i] * change;
  }
  if (branched) {
    memcpy(s.rho, rho_next, sizeof s.rho);
    memcpy(s.r, r_next, sizeof s.r);
    memcpy(s.rp, rp_next, sizeof s.rp);
  }
  for (int k = 0; k < layers; k++) {
    double sum = 0;
    for (int i = 0; i < nodes; i++) sum += incidence[k][i] * s.v[i];
    delta_v[k] = sum;
  }
  int again = 0;
  // Charges without hysteresis follow the potentials.
  for (int k = 0; branched && k < layers; k++) {
    double q = theta_e[k] * slope;
    for (int j = 0; j < layers; j++) q += Ce[k][j] * (delta_v[j] - s.r[j]);
    s.dq[k] = q - s.ql[k];
    s.ql[k] = q;
    if (s.series[k].present) {
      move(&s.series[k], q);
      if (fabs(slope_of(&s.series[k]) - s.K[k]) > renew_share * (inverse[k][k] + s.K[k])) again = 1;
    }
    if (parallel_c[k] == 0) continue;
    const double other = Cp[k] * (delta_v[k] - s.rp[k]);
    s.dqp[k] = other - s.qp[k];
    s.qp[k] = other;
    if (s.parallel[k].present) {
      move(&s.parallel[k], other);
      if (fabs(slope_of(&s.parallel[k]) - s.Kp[k]) > 2 * renew_share * (1 / parallel_c[k] + s.Kp[k])) again = 1;
    }
  }
  if (again) renew(NULL, NULL);
  s.last_step = h;
}

/* Strip -------------------------------------------------------------------------------------------------- */
typedef struct {
  double A[MC], B[MC], C[MC], D[MC], b0f[MC], b0m[MC], b1f[MC], b1m[MC], d0f[MC], d0m[MC], d1f[MC], d1m[MC];
  double h, pad_f, pad_m, slope_f, slope_m, speed_f, speed_m;
} __attribute__((aligned(16))) Oscillator;

static void oscillator(Oscillator *o, double h) {
  memset(o, 0, sizeof *o);
  o->h = h;
  for (int i = 0; i < count; i++) {
    const double wn = omega[i], z = zeta[i], x = wn * h, root = sqrt(1 - z * z), e = exp(-z * x);
    const double sn = e * sin(root * x) / (root * wn), c = e * cos(root * x);
    const double A = c + z * wn * sn, D = c - z * wn * sn;
    double rest = (1 - A) / (wn * wn), b1 = (1 - 2 * z / x * (1 - A) - sn / h) / (wn * wn);
    if (x < 0.1) {
      rest = b1 = 0;
      double before = 0, term = h;
      for (int n = 1; n <= 9; n++) {
        rest += h * term / (n + 1);
        b1 += h * term / ((n + 1) * (n + 2));
        const double next = -(2 * z * x * n * term + x * x * before) / (n * (n + 1));
        before = term;
        term = next;
      }
    }
    const double b0 = rest - b1, d1 = rest / h, d0 = sn - d1, f = pad[i], j = jump[i];
    o->A[i] = A;
    o->B[i] = sn;
    o->C[i] = -wn * wn * sn;
    o->D[i] = D;
    o->b0f[i] = b0 * f;
    o->b0m[i] = b0 * j;
    o->b1f[i] = b1 * f;
    o->b1m[i] = b1 * j;
    o->d0f[i] = d0 * f;
    o->d0m[i] = d0 * j;
    o->d1f[i] = d1 * f;
    o->d1m[i] = d1 * j;
    o->pad_f += f * b1 * f;
    o->pad_m += f * b1 * j;
    o->slope_f += j * b1 * f;
    o->slope_m += j * b1 * j;
    o->speed_f += f * d1 * f;
    o->speed_m += f * d1 * j;
  }
}

/* Seat ---------------------------------------------------------------------------------------------------- */
static double f_elastic, f_contact, f_gas, f_film, f_stick, pad_slope, f_slope, ahead_pressure, ahead_gas;
static inline double pad_force(double depth) {
  const double per_depth = pad_points / pad_depth, x = depth * per_depth;
  if (x >= pad_points) {
    pad_slope = pad_table[2 * pad_points + 1] * per_depth;
    return pad_table[2 * pad_points] + (x - pad_points) * pad_table[2 * pad_points + 1];
  }
  const int i = (int)x;
  const double t = x - i, *b = pad_table + 2 * i, d = b[2] - b[0];
  const double second = 3 * d - 2 * b[1] - b[3], third = b[1] + b[3] - 2 * d;
  pad_slope = (b[1] + t * (2 * second + 3 * t * third)) * per_depth;
  return b[0] + t * (b[1] + t * (second + t * third));
}
static inline double gas_at(const double *table, double lift) {
  const double x = gas_points * sqrt(lift / gas_top);
  if (x >= gas_points) return table[gas_points];
  const int i = (int)x;
  return table[i] + (x - i) * (table[i + 1] - table[i]);
}
static double force_at(double y, double free_speed, double per_force) {
  const double lift = y - s.surface;
  f_gas = has_gas ? (lift <= 0 ? gas_closed : gas_at(gas_force_table, lift)) * ahead_pressure / gas_plenum : 0;
  f_film = f_stick = 0;
  if (lift < 0) {
    f_elastic = pad_force(-lift);
    const double damping = f_elastic * s.hunt;
    const double share = 1 / (1 + damping * per_force);
    double F = (f_elastic + f_gas - damping * free_speed) * share;
    f_contact = F - f_gas;
    f_slope = -pad_slope * (1 - s.hunt * (free_speed + F * per_force)) * share;
    if (f_contact < 0) {
      f_contact = 0;
      F = f_gas;
      f_slope = 0;
    }
    return F;
  }
  f_elastic = f_contact = f_slope = 0;
  double still = f_gas;
  if (s.stuck) {
    const double share = lift / stick_stretch;
    f_stick = share >= 1 ? 0 : -stick_force * fmin(10 * share, (1 - share) / 0.9);
    still += f_stick;
  }
  if (squeeze == 0) return still;
  const double gap = fmax(lift, squeeze_gap), damping = squeeze / (gap * gap * gap);
  double F = (still - damping * free_speed) / (1 + damping * per_force);
  const double film = F - still;
  if (fabs(film) > squeeze_max) F = still + (film < 0 ? -squeeze_max : squeeze_max);
  f_film = F - still;
  return F;
}
static double end_force(double y_free, double free_speed, double pad_f, double speed_f) {
  double F = s.force, next = force_at(y_free + pad_f * F, free_speed, speed_f), change = next - F;
  for (int round = 1; round < 12; round++) {
    if (fabs(change * pad_f) <= 1e-13) return next;
    const double before = F, before_change = change;
    F += change / (1 - f_slope * pad_f);
    next = force_at(y_free + pad_f * F, free_speed, speed_f);
    change = next - F;
    const double bend = change - before_change;
    if (round > 2 && bend != 0) {
      F -= change * (F - before) / bend;
      next = force_at(y_free + pad_f * F, free_speed, speed_f);
      change = next - F;
    }
  }
  return next;
}
/** Plenum at the end of a step. */
static void plenum_after(double loss, double out, double h) {
  if (plenum_feed == 0) {
    ahead_pressure = s.plenum - loss * h;
    ahead_gas = s.plenum_gas - out * h;
    return;
  }
  const double rate = plenum_gamma * plenum_feed / plenum_volume, end = plenum_set - loss / rate;
  ahead_pressure = end + (s.plenum - end) * exp(-rate * h);
  ahead_gas = s.plenum_gas + (ahead_pressure - s.plenum + loss * h) / (plenum_gamma * plenum_set) - out * h;
}
static double out_of(double flow) { return flow * plenum_specific / (plenum_volume * plenum_set); }
static void gas_step(double h) {
  const int held = !isfinite(plenum_volume);
  const double lift = s.y - s.surface;
  double flow = 0;
  if (lift > 0) flow = gas_at(gas_flow_table, lift) * (held ? 1 : sqrt(ahead_pressure / gas_plenum * ahead_gas));
  const double mean = 0.5 * (flow + s.flow);
  s.flow = flow;
  s.mass += mean * h;
  if (!held && (mean != 0 || plenum_feed != 0)) {
    const double per_flow = plenum_gamma * plenum_specific / plenum_volume;
    const double warm = (s.plenum + ahead_pressure) / ((s.plenum_gas + ahead_gas) * gas_plenum);
    plenum_after(per_flow * warm * mean, out_of(mean), h);
    s.plenum = ahead_pressure;
    s.plenum_gas = ahead_gas;
    s.plenum_loss = per_flow * ahead_pressure * flow / (ahead_gas * gas_plenum);
  }
  if (!has_chamber) return;
  const double rate = chamber_speed / chamber_volume, source = mean * chamber_specific / chamber_volume;
  if (rate > 0) {
    static double kept_h = 0, decay = 0;
    if (kept_h != h) {
      kept_h = h;
      decay = -expm1(-rate * h);
    }
    s.chamber += (chamber_base + source / rate - s.chamber) * decay;
  } else
    s.chamber += source * h;
  if (fabs(s.chamber - gas_ratio * s.plenum) > 2e-4 * s.plenum) {
    fprintf(stderr, "this run asks for a new gas table\n");
    exit(5);
  }
}

static double output_time_constant(void) {
  const int to_high = s.commanded == HIGH || s.output == DIODE_HIGH;
  const double resistance = fmax((to_high ? series_high : series_low) + on_resistance, WIRE);
  return G[output_node][output_node] * resistance;
}
/** How long the switch's current limit holds about. */
static double limit_holds(void) {
  if (s.output != LIMITED) return INFINITY;
  return output_time_constant() * (limited_current(s.v) / current_max - 1);
}
/** Has an edge that is fast against the step followed in growing parts. */
static void follow_edge(void) {
  if (s.output == OFF) return;
  int bends = 0;
  for (int k = 0; k < layers; k++) bends |= s.series[k].present | s.parallel[k].present;
  const double tau = (bends ? 0.3 : 1.0) * output_time_constant();
  const int fast = tau < 3 * h_grid;
  const double even = pow(1.1, round(log((fast ? 1.0 / 30 : 1.0 / 8) * tau) / log(1.1)));
  const double part = fmax(even, 1e-3 * h_grid);
  if (part >= h_grid || (s.fine > 0 && s.fine <= part)) return;
  s.fine = part;
  s.growth = fast ? 1.1 : 1.3;
}

static inline double lanes(pair x) { return x[0] + x[1]; }
#define AT(array) (*(const pair *)&(array)[i])
static double loss_rate[MC] __attribute__((aligned(16))), gas_loss_rate[MC] __attribute__((aligned(16)));
static double pad_shape[MC] __attribute__((aligned(16))), jump_shape[MC] __attribute__((aligned(16)));

static void step(const Oscillator *o) {
  const double h = o->h, half = 0.5 * h;
  const pair F0 = {s.force, s.force}, M0 = {s.moment, s.moment};
  pair ys = {0, 0}, slopes = {0, 0}, speeds = {0, 0};
  for (int i = 0; i < paired; i += 2) {
    const pair q = AT(s.q), p = AT(s.p);
    const pair qn = (AT(o->A) * q + AT(o->B) * p) + (AT(o->b0f) * F0 + AT(o->b0m) * M0);
    const pair pn = (AT(o->C) * q + AT(o->D) * p) + (AT(o->d0f) * F0 + AT(o->d0m) * M0);
    *(pair *)&s.q[i] = qn;
    *(pair *)&s.p[i] = pn;
    ys += AT(pad_shape) * qn;
    slopes += AT(jump_shape) * qn;
    speeds += AT(pad_shape) * pn;
  }
  const double y = lanes(ys), slope = lanes(slopes), speed = lanes(speeds), slope0 = s.slope, moment0 = s.moment;
  begin_step(h, slope0, slope + o->slope_m * moment0 - slope0);
  const double stiff = moment_per_slope, share = 1 / (1 + stiff * o->slope_m);
  const double moment_at = share * (moment_at_zero + rest_moment - stiff * (slope - slope0));
  const double chi = share * stiff * o->slope_f;
  const double pad_f = o->pad_f - o->pad_m * chi, speed_f = o->speed_f - o->speed_m * chi;
  const double y_free = y + o->pad_m * moment_at, speed_free = speed + o->speed_m * moment_at;
  double F = s.force;
  ahead_pressure = s.plenum;
  if (has_gas && isfinite(plenum_volume)) plenum_after(s.plenum_loss, out_of(s.flow), h);
  if (has_seat) {
    const double y_end = y_free + pad_f * F;
    if (!s.touching && y_end < s.surface) {
      const double part = fmin(1, fmax(0, (s.y - s.surface) / (s.y - y_end)));
      s.meeting = fabs(s.speed + part * (speed_free + speed_f * F - s.speed));
      s.hunt = hunt_factor / fmax(s.meeting, 1e-3);
    }
    F = end_force(y_free, speed_free, pad_f, speed_f);
  }
  const double M = moment_at - chi * F;
  const pair Fv = {F, F}, Mv = {M, M};
  pair losses = {0, 0}, gas_losses = {0, 0}, squares = {0, 0};
  for (int i = 0; i < paired; i += 2) {
    const pair q = AT(s.q) + (AT(o->b1f) * Fv + AT(o->b1m) * Mv);
    const pair p = AT(s.p) + (AT(o->d1f) * Fv + AT(o->d1m) * Mv);
    *(pair *)&s.q[i] = q;
    *(pair *)&s.p[i] = p;
    const pair square = p * p;
    squares += square;
    losses += AT(loss_rate) * square;
    gas_losses += AT(gas_loss_rate) * square;
  }
  const double slope_end = slope + o->slope_f * F + o->slope_m * M;
  const double y_end = y_free + pad_f * F, speed_end = speed_free + speed_f * F;
  finish_step(h, slope_end - slope0, slope_end);
  if (!whole_step) follow_edge();
  s.kinetic = 0.5 * lanes(squares);
  const double damp = lanes(gas_losses), structural = lanes(losses) - damp;
  s.e_struct += half * (structural + s.r_struct);
  s.e_damp += half * (damp + s.r_damp);
  s.r_struct = structural;
  s.r_damp = damp;
  if (has_seat) {
    const double lost = -(f_contact - f_elastic) * speed_end, in = f_gas * speed_end;
    const double film = -f_film * speed_end, stick = -f_stick * speed_end;
    s.e_contact += half * (lost + s.r_contact);
    s.e_gas += half * (in + s.r_gas);
    s.e_film += half * (film + s.r_film);
    s.e_stick += half * (stick + s.r_stick);
    s.r_contact = lost;
    s.r_gas = in;
    s.r_film = film;
    s.r_stick = stick;
    s.contact = f_contact;
    s.gas = f_gas;
    const int touches = y_end < s.surface;
    if (touches && !s.touching) {
      s.contacts++;
      s.impact = fmax(s.impact, s.meeting);
    }
    if (s.stuck && y_end - s.surface > stick_stretch) s.stuck = 0;
    s.touching = touches;
  }
  s.e_moment += 0.5 * (M + moment0) * (slope_end - slope0);
  s.force = F;
  s.y = y_end;
  s.speed = speed_end;
  s.slope = slope_end;
  s.moment = M;
  if (has_gas) gas_step(h);
}

static double *columns;
static void record(int index) {
  const int rows = steps + 1;
  double *at = columns + index;
#define PUT(x) (*at = (x), at += rows)
  PUT(s.y - s.surface);
  PUT(s.speed);
  PUT(s.contact);
  PUT(s.gas);
  PUT(s.flow);
  PUT(s.moment);
  const double v = s.v[output_node];
  PUT(v);
  const int to_high = s.output == HIGH || s.output == DIODE_HIGH;
  const int node = to_high ? high_node : low_node;
  const double resistance = fmax((to_high ? series_high : series_low) + on_resistance, WIRE);
  if (s.output == OFF)
    PUT(0);
  else if (s.output == LIMITED)
    PUT(s.output_sign < 0 ? -current_max : current_max);
  else
    PUT(((node < 0 ? 0 : s.v[node]) - v) / resistance);
  for (int r = 0; r < rails; r++) PUT(s.v[rail_of[r].terminal]);
  for (int k = 0; k < layers; k++) PUT(delta_v[k]);
  PUT(s.plenum);
  PUT(s.chamber);
  PUT(s.kinetic);
}

static Oscillator whole;
static double on_grid = 1e-6;

/** From `done` to `end` within a grid step: in one, or in growing parts after a fast edge. */
static double go_to(double done, double end) {
  Oscillator part;
  while (end - done > on_grid * h_grid) {
    const double wanted = fmin(s.fine == 0 ? h_grid : s.fine, fmax(limit_holds(), 1e-3 * h_grid));
    const int all = wanted >= end - done;
    const double length = all ? end - done : wanted;
    if (length == h_grid)
      step(&whole);
    else {
      oscillator(&part, length);
      step(&part);
    }
    done = all ? end : done + length;
    s.fine *= s.growth;
    if (s.fine >= h_grid) s.fine = 0;
  }
  return done;
}
static void pulse(const State *start) {
  s = *start;
  network_count = eigen_count = step_count = 0;
  renew(NULL, NULL);
  memcpy(s.r, start->r, sizeof s.r);
  memcpy(s.rp, start->rp, sizeof s.rp);
  memcpy(r_next, s.r, sizeof r_next);
  memcpy(rp_next, s.rp, sizeof rp_next);
  rho_into(s.r, s.rp, s.rho);
  memcpy(rho_next, s.rho, sizeof rho_next);
  branched = 0;
  for (int k = 0; k < layers; k++)
    if (s.series[k].present || s.parallel[k].present) branched = 1;
  oscillator(&whole, h_grid);
  int next = 0;
  for (int n = 0; n < steps; n++) {
    const double from = n * h_grid;
    double done = 0;
    while (next < commands && command_time[next] < (n + 1 - on_grid) * h_grid) {
      done = go_to(done, fmax(0, command_time[next] - from));
      s.commanded = (int)command_state[next++];
      choose_output();
      follow_edge();
    }
    go_to(done, h_grid);
    record(n + 1);
  }
  book();
  for (int k = 0; k < layers; k++) {
    if (s.series[k].present) book_branch(&s.series[k]);
    if (s.parallel[k].present) book_branch(&s.parallel[k]);
  }
}

/* Reading --------------------------------------------------------------------------------------------------- */
static void copy(const char *name, double *out) {
  int n;
  const double *from = list(name, &n);
  memcpy(out, from, n * sizeof(double));
}
static void loop_from(const char *name, Loop *l) {
  int n;
  const double *x = list(name, &n);
  memset(l, 0, sizeof *l);
  l->present = n > 0;
  if (!n) return;
  l->density = x[0];
  l->reach = x[1];
  l->q = x[2];
  l->v = x[3];
  l->direction = (int)x[4];
  l->centre_q = x[5];
  l->centre_v = x[6];
  l->top_count = (n - 7) / 2;
  for (int i = 0; i < l->top_count; i++) {
    l->rq[i] = x[7 + 2 * i];
    l->rv[i] = x[8 + 2 * i];
  }
  open_branch(l);
}
static void load(State *t) {
  memset(t, 0, sizeof *t);
  list("omega", &count);
  list("own", &nodes);
  list("theta", &layers);
  rails = (int)number("rails");
  if (count > MC || nodes > MN || layers > ML || rails > MR) exit(4);
  paired = count + count % 2;
  copy("omega", omega);
  copy("zeta", zeta);
  copy("gas_share", gas_share);
  copy("pad", pad);
  copy("jump", jump);
  rest_moment = number("rest_moment");
  for (int i = 0; i < count; i++) {
    pad_shape[i] = pad[i];
    jump_shape[i] = jump[i];
    loss_rate[i] = 2 * zeta[i] * omega[i];
    gas_loss_rate[i] = loss_rate[i] * gas_share[i];
  }
  copy("own", own);
  copy("theta", theta);
  copy("parallel_capacitance", parallel_c);
  scale_v = number("scale");
  renew_share = number("renew");
  close_share = number("close");
  const double *B = list("incidence", NULL), *C = list("inverse", NULL);
  for (int k = 0; k < layers; k++) {
    for (int i = 0; i < nodes; i++) incidence[k][i] = B[k * nodes + i];
    for (int j = 0; j < layers; j++) inverse[k][j] = C[k * layers + j];
  }
  for (int r = 0; r < rails; r++) {
    char name[20];
    snprintf(name, sizeof name, "rail_%d", r);
    const double *x = list(name, NULL);
    rail_of[r] = (Rail){x[0], x[1], x[2], x[3], x[4], x[5], x[6], (int)x[7], (int)x[8], (int)x[9]};
  }
  const double *sw = list("switch", NULL);
  output_node = (int)sw[0];
  high_node = (int)sw[1];
  low_node = (int)sw[2];
  on_resistance = sw[3];
  series_high = sw[4];
  series_low = sw[5];
  current_max = sw[6];
  h_grid = number("step");
  steps = (int)number("steps");
  command_time = list("command_time", &commands);
  command_state = list("command_state", &commands);
  has_seat = (int)number("has_seat");
  has_gas = (int)number("has_gas");
  has_chamber = (int)number("has_chamber");
  if (has_seat) {
    const double *x = list("seat", NULL);
    hunt_factor = x[0];
    stick_force = x[1];
    stick_stretch = x[2];
    squeeze = x[3];
    squeeze_gap = x[4];
    squeeze_max = x[5];
    pad_depth = x[6];
    pad_table = list("pad_table", &pad_points);
    pad_points = pad_points / 2 - 1;
  }
  if (has_gas) {
    const double *x = list("gas", NULL);
    gas_top = x[0];
    gas_closed = x[1];
    gas_plenum = x[2];
    gas_ratio = x[3];
    gas_force_table = list("gas_force", &gas_points);
    gas_flow_table = list("gas_flow", &gas_points);
    gas_points--;
    x = list("plenum", NULL);
    plenum_volume = x[0];
    plenum_feed = x[1];
    plenum_gamma = x[2];
    plenum_specific = x[3];
    plenum_set = x[4];
  }
  if (has_chamber) {
    const double *x = list("chamber", NULL);
    chamber_volume = x[0];
    chamber_speed = x[1];
    chamber_base = x[2];
    chamber_specific = x[3];
  }
  copy("q", t->q);
  copy("p", t->p);
  copy("v", t->v);
  copy("q_layer", t->ql);
  copy("q_parallel", t->qp);
  copy("r", t->r);
  copy("r_parallel", t->rp);
  for (int k = 0; k < layers; k++) {
    char name[20];
    snprintf(name, sizeof name, "series_%d", k);
    loop_from(name, &t->series[k]);
    snprintf(name, sizeof name, "parallel_%d", k);
    loop_from(name, &t->parallel[k]);
    t->K[k] = t->series[k].present ? slope_of(&t->series[k]) : 0;
    t->Kp[k] = t->parallel[k].present ? slope_of(&t->parallel[k]) : 0;
  }
  t->last_step = 1;
  t->plenum_gas = 1;
  t->growth = 1.3;
  const double *x = list("state", NULL);
  t->moment = x[0];
  t->slope = x[1];
  t->y = x[2];
  t->force = x[3];
  t->contact = x[4];
  t->gas = x[5];
  t->flow = x[6];
  t->plenum = x[7];
  t->chamber = x[8];
  t->surface = x[9];
  t->hunt = x[10];
  t->touching = (int)x[11];
  t->stuck = (int)x[12];
  t->output = (int)x[13];
  t->commanded = (int)x[14];
  for (int r = 0; r < rails; r++) {
    t->supply[r] = (int)list("supplies", NULL)[r];
    t->supply_sign[r] = (int)list("supply_signs", NULL)[r];
  }
}

static int by_size(const void *a, const void *b) {
  const double x = *(const double *)a, y = *(const double *)b;
  return x < y ? -1 : x > y;
}

int main(int argc, char **argv) {
  if (argc < 2) {
    fprintf(stderr, "pulse FILE [REPEATS]\n");
    return 2;
  }
  const int repeats = argc > 2 ? atoi(argv[2]) : 21;
  read_all(argv[1]);
  static State start;
  load(&start);
  columns = room(sizeof(double) * (steps + 1) * (11 + rails + layers));
  double *times = room(sizeof(double) * repeats);
  for (int i = 0; i < repeats; i++) {
    struct timespec a, b;
    clock_gettime(CLOCK_MONOTONIC, &a);
    pulse(&start);
    clock_gettime(CLOCK_MONOTONIC, &b);
    times[i] = (b.tv_sec - a.tv_sec) + 1e-9 * (b.tv_nsec - a.tv_nsec);
  }
  qsort(times, repeats, sizeof *times, by_size);
  double in = s.accounts[IN_SUPPLIES];
  printf("{\"median_ms\": %.6g, \"fastest_ms\": %.6g, \"runs\": %d, \"gas_kg\": %.17g, \"y_m\": %.17g, \"supplied_J\": %.17g}\n",
         1e3 * times[repeats / 2], 1e3 * times[0], repeats, s.mass, s.y, in);
  return 0;
}
