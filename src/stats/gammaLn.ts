import { lazily } from './library.js';

/** Natural logarithm of the gamma function of x > 0. */
export const gammaLn = lazily('@stdlib/math-base-special-gammaln');
