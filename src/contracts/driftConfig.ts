import { z } from 'zod';
import { carCauses, cornerCauses } from '../stats/drift/causes/index.js';

const share = z.number().gt(0).lt(1);

/** Causes whose prior odds can be set, by the level that the odds are of; `held` and `none` get what is left. */
const sharesOf = (causes: readonly { name: string }[]) =>
    z.strictObject(
        Object.fromEntries(
            causes.filter(({ name }) => name !== 'held').map(({ name }) => [name, share.optional()]),
        ),
    );

const leavesSomething = (shares: Record<string, number>) =>
    Object.values(shares).reduce((sum, value) => sum + value, 0) < 0.9;

/** What a config file of `drift` may say; every part may be left out. */
export const driftConfig = z
    .strictObject({
        /** Share of corner sessions in which a cause occurs, before the data. */
        corner_shares: sharesOf(cornerCauses).refine(
            (shares) => leavesSomething(shares as Record<string, number>),
            {
                message: 'the shares must leave at least 0.1 for a corner that held',
            },
        ),
        /** Share of sessions in which a cause takes the whole car, before the data. */
        car_shares: sharesOf(carCauses).refine(
            (shares) => leavesSomething(shares as Record<string, number>),
            {
                message: 'the shares must leave at least 0.1 for a car to which nothing happened',
            },
        ),
        /** Number of sessions that these shares count as against the data. */
        prior_count: z.number().min(1).max(1_000_000),
        min_moved: share,
        min_class: share,
        min_held: share,
        false_discovery_rate: share,
    })
    .partial();

export type DriftConfig = z.infer<typeof driftConfig>;
