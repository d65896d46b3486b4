import type { Command } from "commander";

export const SHELLS = ["bash", "zsh", "fish"] as const;
export type Shell = (typeof SHELLS)[number];

interface Leaf {
  /** Words after the program's name: "jobs", "book check". */
  readonly path: string;
  readonly about: string;
  readonly below: readonly string[];
  readonly options: readonly { readonly flag: string; readonly about: string }[];
  readonly takesJob: boolean;
}

/** The program's commands as a shell script that completes them. Made from the command tree, so it never lags behind. */
export function completionScript(program: Command, shell: Shell): string {
  const leaves = leavesOf(program, []);
  return { bash, zsh, fish }[shell](leaves);
}

function leavesOf(command: Command, path: readonly string[]): Leaf[] {
  const below = command.commands.filter((each) => each.name() !== "help");
  const options = command
    .createHelp()
    .visibleOptions(command)
    .flatMap((option) => (option.long === undefined ? [] : [{ flag: option.long, about: option.description }]));
  const self = {
    path: path.join(" "),
    about: command.description(),
    below: below.map((each) => each.name()),
    options,
    takesJob: command.registeredArguments[0]?.name() === "job",
  };
  return [self, ...below.flatMap((each) => leavesOf(each, [...path, each.name()]))];
}

/** Short names of jobs: asked of the program, which knows where the book is. */
const JOBS = 'fettle jobs --json 2>/dev/null | sed -n \'s/^    "job": "\\(.*\\)",$/\\1/p\'';

function bash(leaves: readonly Leaf[]): string {
  const cases = leaves.map(
    ({ path, below, options, takesJob }) =>
      `    "${path}") words="${[...below, ...options.map((option) => option.flag)].join(" ")}"; jobs=${takesJob ? 1 : 0} ;;`,
  );
  return `# bash completion for fettle. Made by: fettle completion bash
_fettle() {
  local cur="\${COMP_WORDS[COMP_CWORD]}" path="" words="" jobs=0 given=0 i
  for ((i = 1; i < COMP_CWORD; i++)); do
    case " ${branchesOf(leaves).join(" ")} " in
      *" \${path:+$path/}\${COMP_WORDS[i]} "*) path="\${path:+$path/}\${COMP_WORDS[i]}" ;;
      *) [[ "\${COMP_WORDS[i]}" == -* ]] || given=$((given + 1)) ;;
    esac
  done
  case "\${path//\\// }" in
${cases.join("\n")}
  esac
  if [[ $jobs == 1 && $given == 0 && "$cur" != -* ]]; then words="$words $(${JOBS})"; fi
  COMPREPLY=($(compgen -W "$words" -- "$cur"))
  if [[ \${#COMPREPLY[@]} == 0 ]]; then compopt -o default; fi
}
complete -F _fettle fettle
`;
}

function branchesOf(leaves: readonly Leaf[]): string[] {
  return leaves.filter((leaf) => leaf.path !== "").map((leaf) => leaf.path.replaceAll(" ", "/"));
}

/** zsh reads bash's completions by itself. */
function zsh(leaves: readonly Leaf[]): string {
  return `#compdef fettle
# zsh completion for fettle. Made by: fettle completion zsh
autoload -U +X bashcompinit && bashcompinit
${bash(leaves).split("\n").slice(1).join("\n")}`;
}

function fish(leaves: readonly Leaf[]): string {
  const quoted = (text: string): string => `'${text.replaceAll("\\", "\\\\").replaceAll("'", "\\'")}'`;
  const lines = leaves.flatMap(({ path, below, options, takesJob }) => {
    const seen =
      path === ""
        ? "__fish_use_subcommand"
        : path
            .split(" ")
            .map((word) => `__fish_seen_subcommand_from ${word}`)
            .join("; and ");
    const about = (name: string): string => leaves.find((leaf) => leaf.path === (path === "" ? name : `${path} ${name}`))?.about ?? "";
    return [
      ...below.map((name) => `complete -c fettle -n ${quoted(seen)} -a ${name} -d ${quoted(about(name))}`),
      ...(path === "" ? [] : options.map((option) => `complete -c fettle -n ${quoted(seen)} -l ${option.flag.slice(2)} -d ${quoted(option.about)}`)),
      ...(takesJob ? [`complete -c fettle -n ${quoted(seen)} -a ${quoted(`(${JOBS})`)}`] : []),
    ];
  });
  return `# fish completion for fettle. Made by: fettle completion fish\n${lines.join("\n")}\n`;
}
