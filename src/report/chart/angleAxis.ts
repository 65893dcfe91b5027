/** Axis of an angle from `low` to `high` (deg), -1 to 1 where they are not known; the frame is kept as given. */
export function angleAxis(title: string, low: number | null, high: number | null) {
    return {
        type: 'quantitative' as const,
        title,
        scale: { domain: [low ?? -1, high ?? 1], nice: false, zero: false },
    };
}
