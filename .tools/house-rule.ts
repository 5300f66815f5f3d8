// What no file of the house may hold. Pure over file texts, so that the test can break each rule on invented files.
import type { SourceFile } from './import-rule.js'

export const TOP_LEVEL: readonly string[] = [
  'README.md',
  'DEVELOPERS.md',
  'LICENSE',
  'package.json',
  'package-lock.json',
  'docker-compose.yml',
  'Dockerfile',
  'prisma',
  'prisma.config.ts',
  'server',
  'admin',
  'tests',
  'seed',
  'tsconfig.json',
  'tsconfig.build.json',
  'tsconfig.admin.json',
  'vitest.config.ts',
]

type Rule = { readonly what: string; readonly pattern: RegExp; readonly appliesTo: (path: string) => boolean }

const everywhere = (): boolean => true
// A picture file cannot read the theme; the icon of the browser's tab is one.
const inConsoleOutsideTheme = (path: string): boolean =>
  path.startsWith('admin/') && !path.startsWith('admin/theme/') && !path.endsWith('.svg')

const RULES: readonly Rule[] = [
  { what: 'a path of one machine', pattern: /(?<![\w.~$}*-])\/(?:home|Users|root|work|tmp|mnt)\/[\w.]/, appliesTo: everywhere },
  { what: 'a registry host', pattern: /https?:\/\/[\w.-]*reg[i]stry[\w.-]*|reg[i]stry\.npmjs|"res[o]lved":/, appliesTo: everywhere },
  { what: 'a note of something unfinished', pattern: /\b(?:TO[D]O|FIX[M]E)\b/, appliesTo: everywhere },
  {
    what: 'a colour outside the theme',
    pattern: /#(?:[0-9a-f]{3}|[0-9a-f]{6}|[0-9a-f]{8})(?![\w/])|\b(?:rgba?|hsla?)\(/i,
    appliesTo: inConsoleOutsideTheme,
  },
]

/** One line for each rule that the file breaks, with the first line that breaks it. */
export function faultsInText({ path, text }: SourceFile): string[] {
  const lines = text.split('\n')
  return RULES.filter((rule) => rule.appliesTo(path)).flatMap((rule) => {
    const index = lines.findIndex((line) => rule.pattern.test(line))
    return index === -1 ? [] : [`${path}:${index + 1} holds ${rule.what}: ${lines[index]?.trim().slice(0, 100) ?? ''}`]
  })
}
