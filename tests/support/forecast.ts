// The forecast alone of what the program says of a unit.
import type { Forecast } from '../../app/core/progress/forecast.ts';
import { standingOf, type StandingQuestion } from '../../app/core/progress/standing.ts';

export const forecast = (question: StandingQuestion): Forecast => standingOf(question).forecast;
