// Which room of the house may import which. Pure over file texts, so that the test can break every rule on invented files.
import { dirname, join, normalize } from 'node:path/posix'

export type SourceFile = { readonly path: string; readonly text: string }

/** The features in levels, from the ground up: a feature may use those on lower levels, never one beside or above it. */
export const FEATURE_LEVELS = [
  ['stock'],
  ['access', 'ingredients'],
  ['requirements'],
  ['sheets'],
  ['lots'],
  ['purchasing'],
  ['formulas', 'suppliers'],
  ['members', 'gate'],
  ['orders'],
  ['planning'],
  ['production'],
  ['delivery', 'laboratory'],
  ['tracing'],
  ['reports', 'home'],
] as const satisfies readonly (readonly string[])[]

const ROOMS = ['core', 'contract', 'platform', 'features'] as const
type Room = (typeof ROOMS)[number] | 'house' | 'seed' | 'admin' | 'tests'

const MAY_IMPORT: Readonly<Record<Room, readonly Room[]>> = {
  core: ['core'],
  contract: ['contract', 'core'],
  platform: ['platform', 'contract', 'core'],
  features: ['features', 'platform', 'contract', 'core'],
  // main, app, config and the command lines beside them: they put the house together
  house: ['house', 'seed', 'features', 'platform', 'contract', 'core'],
  seed: ['seed', 'house', 'features', 'platform', 'contract', 'core'],
  admin: ['admin', 'contract', 'core'],
  tests: ['tests', 'admin', 'seed', 'house', 'features', 'platform', 'contract', 'core'],
}

const CONTRACT_PACKAGES = ['zod']
const IMPORT = /(?:^|[\s;}])(?:import|export)\s+(?:type\s+)?(?:[^'"`;]*?\sfrom\s*)?['"]([^'"]+)['"]|\bimport\(\s*['"]([^'"]+)['"]\s*\)/g

/** Module names a file imports, in order, `import()` and re-exports included; text in comments is left out. */
export function importsOf(text: string): string[] {
  const code = text.replace(/\/\*[\s\S]*?\*\//g, '').replace(/^\s*\/\/.*$/gm, '')
  return [...code.matchAll(IMPORT)].map((match) => match[1] ?? match[2] ?? '')
}

/** The file of the house an import leads to, without extension; null for a package or a node module. */
export function targetOf(fromPath: string, specifier: string): string | null {
  if (specifier.startsWith('.')) return withoutExtension(normalize(join(dirname(fromPath), specifier)))
  if (specifier.startsWith('#server/')) return `server/${specifier.slice('#server/'.length)}`
  if (specifier.startsWith('#seed/')) return `seed/${specifier.slice('#seed/'.length)}`
  if (specifier.startsWith('#')) return `server/${specifier.slice(1)}`
  return null
}

const withoutExtension = (path: string): string => path.replace(/\.(?:js|jsx|ts|tsx|mjs|css|json)$/, '')

function roomOf(path: string): Room | null {
  const [top, second] = path.split('/')
  if (top === 'server') return ROOMS.find((room) => room === second) ?? 'house'
  if (top === 'seed' || top === 'admin' || top === 'tests') return top
  return null
}

const featureOf = (path: string): string => path.split('/')[2] ?? ''

function faultOf(path: string, specifier: string): string | null {
  const room = roomOf(path)
  if (room === null) return null
  const target = targetOf(path, specifier)
  if (target === null) {
    if (room === 'core') return `core imports nothing outside core, not "${specifier}"`
    if (room === 'contract' && !CONTRACT_PACKAGES.includes(specifier)) return `contract imports zod and core only, not "${specifier}"`
    // What configures the build runs on the machine that builds.
    if (room === 'admin' && specifier.startsWith('node:') && !path.endsWith('.config.ts'))
      return `admin runs in a browser, which has no "${specifier}"`
    return null
  }
  const targetRoom = roomOf(target)
  if (targetRoom === null) return room === 'tests' ? null : `${room} imports a file outside the house: "${specifier}"`
  if (!MAY_IMPORT[room].includes(targetRoom)) return `${room} may not import ${targetRoom} ("${specifier}")`
  if (room === 'features' && targetRoom === 'features') return featureFault(featureOf(path), featureOf(target), specifier)
  return null
}

const levelOf = (feature: string): number => FEATURE_LEVELS.findIndex((level: readonly string[]) => level.includes(feature))

function featureFault(from: string, to: string, specifier: string): string | null {
  if (levelOf(from) === -1) return `feature "${from}" stands on no level of the feature graph`
  if (from === to || levelOf(to) < levelOf(from)) return null
  return `${from} may not use ${to} ("${specifier}"), which does not stand below it in the feature graph`
}

/** Every import that breaks the rule, one line each, in the order of the files. Empty when the house is in order. */
export function importFaults(files: readonly SourceFile[]): string[] {
  return files.flatMap(({ path, text }) =>
    importsOf(text).flatMap((specifier) => {
      const fault = faultOf(path, specifier)
      return fault === null ? [] : [`${path}: ${fault}`]
    }),
  )
}
