// The chart that a new library leads with: the easiest of those that come along.
export const FIRST_CHART = 'demo-rain-on-the-kettle';
