/** The colours of the light scheme in the style sheet of the pages, by name. */
export function lightPaints(style: string): Record<string, string> {
    const root = /:root\s*\{([^}]*)\}/.exec(style)![1]!;
    return Object.fromEntries(
        [...root.matchAll(/--([\w-]+):\s*([^;]+)/g)].map(([, name, value]) => [name!, value!.trim()]),
    );
}

/** The rules of the style sheet that drawings of towers need. */
export function planRules(style: string): string {
    return [...style.matchAll(/(?<=^|[};])\s*(\.plan[^{}@]*\{[^}]*\})/g)].map(([, rule]) => rule).join('');
}
