import { type CornerCategory, categories } from './categories.js';
import type { Component, Ends } from './components.js';
import type { Front } from './corner.js';
import { nothing, type Sizes, type Vector } from './gaussian.js';
import type { Pattern } from './patterns.js';

/** One way in which a category may show on a front. */
export interface Term {
    pattern: Pattern;
    component: Component;
    sizes: Sizes;
    share: number;
}

/** Effects of a group of causes on the car on a front, and variances by size squared that come with them. */
interface Effects {
    vectors: readonly Vector[];
    more: Vector;
}

/** How all causes show on a front, whatever its changes: by category of a corner, and of the car. */
export interface Shown {
    terms: readonly (readonly Term[])[];
    effects: readonly Effects[];
}

/** What each category may be on `front`, by its components. */
function termsOf(front: Front, corner: readonly CornerCategory[]): Term[][] {
    const shown = new Map<unknown, Pattern | null>();
    return corner.map(({ components }) => {
        const terms: Term[] = [];
        for (const { patternOf, component } of components) {
            let pattern = shown.get(patternOf);
            if (pattern === undefined) {
                pattern = patternOf(front);
                shown.set(patternOf, pattern);
            }
            if (pattern === null || pattern.probability === 0) continue;
            const { first, second } = pattern.cause;
            const sizes = component.sizes[second !== nothing ? 2 : first !== nothing ? 1 : 0];
            terms.push({ pattern, component, sizes, share: component.share * pattern.probability });
        }
        return terms;
    });
}

const effectsOn = (front: Front): Effects[] =>
    categories.carGroups.map(({ components, unknown }) => ({
        vectors: components.map(({ pattern }) => pattern.front(front)),
        more: unknown === null ? nothing : unknown(front),
    }));

/** How all causes show on `front`. */
export const shownOn = (front: Front): Shown => ({
    terms: termsOf(front, categories.corner),
    effects: effectsOn(front),
});

/** The same, the sizes of slips no farther than the `ends` of the slot. */
export function within(terms: readonly Term[], ends: Ends): readonly Term[] {
    return terms.map((term) => {
        const { pattern, component, share } = term;
        return pattern.isInSlot ? { pattern, component, sizes: component.along(ends), share } : term;
    });
}
