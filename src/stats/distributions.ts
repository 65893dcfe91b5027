import betaCdf from '@stdlib/stats-base-dists-beta-cdf';
import betaQuantile from '@stdlib/stats-base-dists-beta-quantile';
import chisquareCdf from '@stdlib/stats-base-dists-chisquare-cdf';
import chisquareQuantile from '@stdlib/stats-base-dists-chisquare-quantile';
import fCdf from '@stdlib/stats-base-dists-f-cdf';
import fQuantile from '@stdlib/stats-base-dists-f-quantile';
import normalCdfAt from '@stdlib/stats-base-dists-normal-cdf';
import normalQuantileAt from '@stdlib/stats-base-dists-normal-quantile';
import tCdf from '@stdlib/stats-base-dists-t-cdf';
import tQuantile from '@stdlib/stats-base-dists-t-quantile';

/** Distribution functions of the standard library named in package.json, each with its parameters last. NaN outside the domain. */
export { betaCdf, betaQuantile, chisquareCdf, chisquareQuantile, fCdf, fQuantile, tCdf, tQuantile };

/** Standard normal distribution function. */
export const normalCdf = (x: number) => normalCdfAt(x, 0, 1);

/** Standard normal quantile for p in 0..1. */
export const normalQuantile = (p: number) => normalQuantileAt(p, 0, 1);
