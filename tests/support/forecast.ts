// The forecast alone of what the program says of a unit.
import type { Forecast, ForecastQuestion } from '../../app/core/progress/forecast.ts';
import { standingOf } from '../../app/core/progress/standing.ts';

export const forecast = (question: ForecastQuestion): Forecast => standingOf(question).forecast;
