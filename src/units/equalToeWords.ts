/** What is said of camber changes that could not be brought to equal toe. */
interface UnequalToe {
    unequal_toe_count: number;
    no_caster_count: number;
}

const changes = (count: number) =>
    count === 1 ? '1 camber change was' : `${count.toLocaleString('en')} camber changes were`;

/** What was not read, a sentence with its full stop for each angle. */
export function equalToeWords({ unequal_toe_count, no_caster_count }: UnequalToe): string[] {
    const noToe = unequal_toe_count - no_caster_count;
    const effect = 'and may hold the effect of toe as well (2 to 10 % of the slope)';
    return [
        ...(noToe === 0
            ? []
            : [
                  `${changes(noToe)} read with the tie rods untouched and without toe ${effect}. Read toe with camber.`,
              ]),
        ...(no_caster_count === 0
            ? []
            : [
                  `${changes(no_caster_count)} read with toe but without caster, which the chassis lacks altogether, ${effect}. Read caster with camber.`,
              ]),
    ];
}
