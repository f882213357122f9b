// The calendar date on the wall clock here.
import { localDate } from '../../app/core/progress/calendar.ts';
import type { IsoDate } from '../../app/core/units.ts';
import { isoWithOffset } from './climb-surroundings.ts';

export const today = (): IsoDate => localDate(isoWithOffset(new Date()));
