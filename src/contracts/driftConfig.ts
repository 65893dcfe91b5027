import { z } from 'zod';

const share = z.number().gt(0).lt(1);

/** Causes whose prior odds can be set, with the level that the odds are of; `held` and `none` get what is left. */
export const cornerCauses = [
    'plate_slipped',
    'mount_moved',
    'spindle_bent',
    'strut_bent',
    'tie_rod_turned',
    'lower_arm_moved',
    'misread',
    'unexplained',
] as const;
export const carCauses = ['cradle_moved', 'reference_rolled', 'gauge_zero', 'steering_off'] as const;

const leavesSomething = (shares: Record<string, number>) =>
    Object.values(shares).reduce((sum, value) => sum + value, 0) < 0.9;

/** What a config file of `drift` may say; every part may be left out. */
export const driftConfig = z
    .strictObject({
        /** Share of corner sessions in which a cause occurs, before the data. */
        corner_shares: z
            .strictObject(Object.fromEntries(cornerCauses.map((cause) => [cause, share.optional()])))
            .refine((shares) => leavesSomething(shares as Record<string, number>), {
                message: 'the shares must leave at least 0.1 for a corner that held',
            }),
        /** Share of sessions in which a cause takes the whole car, before the data. */
        car_shares: z
            .strictObject(Object.fromEntries(carCauses.map((cause) => [cause, share.optional()])))
            .refine((shares) => leavesSomething(shares as Record<string, number>), {
                message: 'the shares must leave at least 0.1 for a car to which nothing happened',
            }),
        /** Number of sessions that these shares count as against the data. */
        prior_count: z.number().min(1).max(1_000_000),
        min_moved: share,
        min_class: share,
        min_held: share,
        false_discovery_rate: share,
    })
    .partial();

export type DriftConfig = z.infer<typeof driftConfig>;
