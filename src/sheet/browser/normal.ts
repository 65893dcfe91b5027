import { bivariateNormalRectangle } from '../../stats/bivariateNormal.js';
import { normalCdf } from '../../stats/normal.js';
import type { Normal } from '../../stats/settings/problem.js';

export const normal: Normal = { cdf: normalCdf, rectangle: bivariateNormalRectangle };
