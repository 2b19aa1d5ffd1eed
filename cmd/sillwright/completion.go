package main

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"
)

func completionCommand() *cli.Command {
	return &cli.Command{
		Name: "completion", Usage: "print the shell completion script",
		ArgsUsage:   "bash|zsh",
		Description: "Example, in ~/.bashrc or ~/.zshrc:\n  source <(sillwright completion bash)",
		Action: action(func(c *cli.Context) (outcome, error) {
			shell := c.Args().First()
			if c.NArg() != 1 || shell != "bash" && shell != "zsh" {
				return failed, misuse("it needs the shell (sillwright completion bash, or zsh)")
			}
			if shell == "zsh" {
				fmt.Fprintln(c.App.Writer, "autoload -U +X bashcompinit && bashcompinit")
			}
			fmt.Fprint(c.App.Writer, completionScript())
			return succeeded, nil
		}),
	}
}

// completionScript returns a function for bash: the first word is completed to
// a command, what begins with a dash to a flag of it, all else to a file.
func completionScript() string {
	var names []string
	var cases strings.Builder
	for _, c := range commands() {
		names = append(names, c.Name)
		flags := []string{"--help"}
		for _, f := range c.Flags {
			flags = append(flags, "--"+f.Names()[0])
		}
		fmt.Fprintf(&cases, "    %s) words=%q ;;\n", c.Name, strings.Join(flags, " "))
	}
	return fmt.Sprintf(`_sillwright() {
  local words="" word="${COMP_WORDS[COMP_CWORD]}"
  COMPREPLY=()
  if [ "$COMP_CWORD" -eq 1 ]; then
    COMPREPLY=($(compgen -W %q -- "$word"))
    return
  fi
  [ "${word#-}" != "$word" ] || return 0
  case "${COMP_WORDS[1]}" in
%s  esac
  COMPREPLY=($(compgen -W "$words" -- "$word"))
}
complete -o default -F _sillwright sillwright
`, strings.Join(names, " "), cases.String())
}
