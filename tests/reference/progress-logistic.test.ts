// The logistic fit against published worked examples and R.
import { describe, expect, it } from 'vitest';
import { fitLogistic, logit, type Group } from '../support/logistic.ts';
import { unwrap } from '../../app/core/base/result.ts';

const single = (xs: readonly number[], ys: readonly number[]): Group[] =>
  xs.map((x, i) => ({ x, yes: ys[i]!, no: 1 - ys[i]! }));

describe('fitLogistic', () => {
  it('agrees with the study-hours example, n = 20', () => {
    // Widely printed textbook example (hours of study and passing an exam): −4.07771343 (1.76099431),
    // 1.50464543 (0.62872085), log-likelihood −8.029878.
    const hours = [
      0.5, 0.75, 1, 1.25, 1.5, 1.75, 1.75, 2, 2.25, 2.5, 2.75, 3, 3.25, 3.5, 4, 4.25, 4.5, 4.75, 5,
      5.5,
    ];
    const passed = [0, 0, 0, 0, 0, 0, 1, 0, 1, 0, 1, 0, 1, 0, 1, 1, 1, 1, 1, 1];
    const fit = unwrap(fitLogistic(single(hours, passed)));
    expect(fit.b0).toBeCloseTo(-4.07771343, 5);
    expect(fit.b1).toBeCloseTo(1.50464543, 5);
    expect(fit.se0).toBeCloseTo(1.76099431, 4);
    expect(fit.se1).toBeCloseTo(0.62872085, 4);
    expect(fit.logLikelihood).toBeCloseTo(-8.029878, 5);
  });

  it('agrees with R on the menarche data, counts of 25 age groups', () => {
    // Data: MASS::menarche (Milicer & Szczotka 1966), Debian r-cran-mass. Expected values: R 4.2.2,
    // glm(cbind(Menarche, Total - Menarche) ~ Age, binomial); the 80 % crossing by MASS::dose.p.
    const total = [
      376, 200, 93, 120, 90, 88, 105, 111, 100, 93, 100, 108, 99, 106, 105, 117, 98, 97, 120, 102,
      122, 111, 94, 114, 1049,
    ];
    const yes = [
      0, 0, 0, 2, 2, 5, 10, 17, 16, 29, 39, 51, 47, 67, 81, 88, 79, 90, 113, 95, 117, 107, 92, 112,
      1049,
    ];
    const age = [
      9.21, 10.21, 10.58, 10.83, 11.08, 11.33, 11.58, 11.83, 12.08, 12.33, 12.58, 12.83, 13.08,
      13.33, 13.58, 13.83, 14.08, 14.33, 14.58, 14.83, 15.08, 15.33, 15.58, 15.83, 17.58,
    ];
    const fit = unwrap(
      fitLogistic(age.map((x, i) => ({ x, yes: yes[i]!, no: total[i]! - yes[i]! }))),
    );
    expect(fit.b0).toBeCloseTo(-21.226394905, 6);
    expect(fit.b1).toBeCloseTo(1.631968348, 7);
    expect(fit.se0).toBeCloseTo(0.77068588, 5);
    expect(fit.se1).toBeCloseTo(0.05895317, 6);
    expect(fit.logLikelihood).toBeCloseTo(-819.6523675, 5);
    expect((logit(0.8) - fit.b0) / fit.b1).toBeCloseTo(13.85608323, 6);
  });

  it('agrees with R on the mode of a posterior, where no maximum of the likelihood exists', () => {
    // R 4.2.2, optim(method = "BFGS") of the same penalised likelihood: 18 yes and no no.
    const groups = [
      { x: -0.2, yes: 4, no: 0 },
      { x: -0.1, yes: 6, no: 0 },
      { x: 0, yes: 5, no: 0 },
      { x: 0.1, yes: 3, no: 0 },
    ];
    const prior = { b0: { mean: 0, spread: 2.5 }, b1: { mean: -12, spread: 8 } };
    const fit = unwrap(fitLogistic(groups, prior));
    expect(fit.b0).toBeCloseTo(3.352914, 4);
    expect(fit.b1).toBeCloseTo(-10.850835, 3);
    expect(fit.logLikelihood).toBeCloseTo(-1.463605267, 6);
    expect([fit.se0, fit.se1]).toEqual([expect.closeTo(1.23912, 3), expect.closeTo(7.22737, 2)]);
  });

  it('says so when one cut parts yes from no, and with one x only', () => {
    for (const groups of [
      single([1, 2, 3, 4], [0, 0, 1, 1]),
      single([1, 2, 3], [1, 1, 1]),
      [{ x: 80, yes: 3, no: 2 }],
    ]) {
      expect(fitLogistic(groups)).toMatchObject({ ok: false, problems: [{ code: 'separated' }] });
    }
  });
});
