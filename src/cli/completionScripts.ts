import type { Command } from 'commander';

/** Names that complete from the database, with the table whose column of that name holds them. */
export const nameTables = {
    vehicle: 'readings',
    kit: 'kits',
    target: 'targets',
    chassis: 'readings',
    shaft: 'shafts',
    class: 'rules',
} as const;
export type NameKind = keyof typeof nameTables;
export const nameKinds = Object.keys(nameTables) as NameKind[];

/** What a value completes from: names in the database, files, words, or nothing. */
type Values = NameKind | 'file' | readonly string[] | null;

interface Flag {
    name: string;
    describe: string;
    takesValue: boolean;
    values: Values;
}

interface Sub {
    name: string;
    describe: string;
    flags: Flag[];
    /** What the words that are no option may be. */
    words: readonly string[];
    /** Whether they are files. */
    takesFiles: boolean;
}

const files = ['db', 'readings', 'to', 'map', 'out', 'file'];

function flagsOf(command: Command): Flag[] {
    return command.options
        .filter((option) => !option.hidden && option.long != null)
        .map((option) => {
            const name = option.long!;
            const bare = name.slice(2);
            const takesValue = option.required || option.optional;
            const named = nameKinds.find((one) => one === bare);
            const isFile = files.includes(bare) || option.flags.includes('<file>');
            const values: Values = option.argChoices ?? (isFile ? 'file' : named) ?? null;
            return {
                name,
                describe: option.description,
                takesValue,
                values: takesValue ? values : null,
            };
        });
}

/** Names, options and values of the whole command tree of `program`. */
function treeOf(program: Command): Sub[] {
    const shared = flagsOf(program);
    return program.commands.map((command) => ({
        name: command.name(),
        describe: command.description(),
        flags: [...flagsOf(command), ...shared],
        words: command.registeredArguments.flatMap(({ argChoices }) => argChoices ?? []),
        takesFiles: command.registeredArguments.some((argument) => /file|dir|export/i.test(argument.name())),
    }));
}

const quoted = (text: string) => `'${text.replaceAll("'", "'\\''")}'`;

const isNamed = (values: Values): values is NameKind => typeof values === 'string' && values !== 'file';

/** Lines of a case statement for the values of every option that takes one. */
function valueCases(subs: readonly Sub[], line: (pattern: string, values: Values) => string): string[] {
    return subs.flatMap((sub) =>
        sub.flags
            .filter(({ takesValue }) => takesValue)
            .map(({ name, values }) => line(`${sub.name}:${name}`, values)),
    );
}

/** The word that is completed, however the program was started. */
const name = 'strutmark';

function bash(program: Command): string {
    const subs = treeOf(program);
    const reply = (values: Values) => {
        if (values === 'file') return 'COMPREPLY=($(compgen -f -- "$word"))';
        if (isNamed(values)) return `_strutmark_values ${values} "$word"`;
        if (values === null) return 'COMPREPLY=()';
        return `COMPREPLY=($(compgen -W ${quoted(values.join(' '))} -- "$word"))`;
    };
    return `# Completion of strutmark for bash: source it, or put it where bash-completion looks.
_strutmark_values() {
    local IFS=$'\\n' value
    COMPREPLY=()
    for value in $(${name} \${db:+--db "$db"} completion --values "$1" 2>/dev/null); do
        [[ $value == "$2"* ]] && COMPREPLY+=("$(printf '%q' "$value")")
    done
}
_strutmark() {
    local word=\${COMP_WORDS[COMP_CWORD]} before=\${COMP_WORDS[COMP_CWORD-1]} command= db= i
    word=\${word#[\\'\\"]}
    for ((i = 1; i < COMP_CWORD; i++)); do
        case \${COMP_WORDS[i]} in
            --db) db=\${COMP_WORDS[i+1]} ;;
            ${subs.map((sub) => sub.name).join('|')}) [[ -z $command ]] && command=\${COMP_WORDS[i]} ;;
        esac
    done
    case $command:$before in
${valueCases(subs, (pattern, values) => `        ${pattern}) ${reply(values)}; return ;;`).join('\n')}
        :--db|:--readings) COMPREPLY=($(compgen -f -- "$word")); return ;;
    esac
    case $command in
${subs
    .map(
        (sub) =>
            `        ${sub.name}) COMPREPLY=($(compgen -W ${quoted([...sub.words, ...sub.flags.map((flag) => flag.name)].join(' '))} -- "$word")${sub.takesFiles ? ' $(compgen -f -- "$word")' : ''}) ;;`,
    )
    .join('\n')}
        *) COMPREPLY=($(compgen -W ${quoted(subs.map((sub) => sub.name).join(' '))} -- "$word")) ;;
    esac
}
complete -F _strutmark strutmark
`;
}

function zsh(program: Command): string {
    const subs = treeOf(program);
    const clean = (text: string) => text.replace(/[[\]:]/g, ' ').replaceAll("'", '');
    const action = (values: Values) => {
        if (values === 'file') return ':file:_files';
        // A blank in front keeps zsh from putting arguments of its own before ours.
        if (isNamed(values)) return `:${values}: _strutmark_values ${values}`;
        if (values === null) return ':value: ';
        return `:value:(${values.join(' ')})`;
    };
    const argument = (flag: Flag) =>
        quoted(`*${flag.name}[${clean(flag.describe)}]${flag.takesValue ? action(flag.values) : ''}`);
    return `#compdef strutmark
# Completion of strutmark for zsh: put it as _strutmark into a folder of $fpath, or source it after compinit.
_strutmark_values() {
    local -a values
    values=(\${(f)"$(${name} $strutmark_db completion --values $1 2>/dev/null)"})
    compadd -a values
}
_strutmark() {
    local -a commands strutmark_db line
    local state at=\${words[(i)--db]}
    (( at < $#words )) && strutmark_db=(--db "\${(Q)\${words[at+1]}}")
    commands=(
${subs.map((sub) => `        ${quoted(`${sub.name}:${clean(sub.describe)}`)}`).join('\n')}
    )
    _arguments -C ${flagsOf(program).map(argument).join(' ')} '1: :->command' '*::arg:->rest'
    case $state in
        command) _describe command commands ;;
        rest)
            case $line[1] in
${subs
    .map(
        (sub) =>
            `                ${sub.name}) _arguments ${sub.flags.map(argument).join(' ')}${sub.takesFiles ? " '*:file:_files'" : sub.words.length > 0 ? ` '*:name:(${sub.words.join(' ')})'` : ''} ;;`,
    )
    .join('\n')}
            esac ;;
    esac
}
compdef _strutmark strutmark
`;
}

function fish(program: Command): string {
    const lines = treeOf(program).flatMap((sub) => [
        `complete -c strutmark -n __fish_use_subcommand -f -a ${sub.name} -d ${quoted(sub.describe)}`,
        ...sub.flags.map(({ name: flag, describe, takesValue, values }) => {
            const given = !takesValue
                ? ''
                : values === 'file'
                  ? ' -r -F'
                  : isNamed(values)
                    ? ` -x -a '(__strutmark_values ${values})'`
                    : values === null
                      ? ' -x'
                      : ` -x -a ${quoted(values.join(' '))}`;
            return `complete -c strutmark -n '__fish_seen_subcommand_from ${sub.name}' -l ${flag.slice(2)} -d ${quoted(describe)}${given}`;
        }),
        ...(sub.takesFiles
            ? []
            : [
                  `complete -c strutmark -n '__fish_seen_subcommand_from ${sub.name}' -f${sub.words.length > 0 ? ` -a ${quoted(sub.words.join(' '))}` : ''}`,
              ]),
    ]);
    return `# Completion of strutmark for fish: put it as strutmark.fish into ~/.config/fish/completions.
function __strutmark_values
    set -l words (commandline -opc)
    set -l at (contains -i -- --db $words)
    if test -n "$at"
        ${name} --db $words[(math $at + 1)] completion --values $argv[1] 2>/dev/null
    else
        ${name} completion --values $argv[1] 2>/dev/null
    end
end
${lines.join('\n')}
`;
}

/** The script of each shell. */
export const shells = { bash, zsh, fish } as const;
