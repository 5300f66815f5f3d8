/** The colours of the console: the only place where a colour stands. Contrasts are worked out in the design, section 4. */
export const THEME_NAMES = ['light', 'dark', 'sunlight'] as const
export type ThemeName = (typeof THEME_NAMES)[number]

export type Tokens = {
  readonly ground: string
  readonly card: string
  readonly sunk: string
  readonly ink: string
  readonly softInk: string
  readonly edge: string
  readonly line: string
  readonly lake: string
  readonly lakePressed: string
  readonly onLake: string
  readonly pass: string
  readonly passGround: string
  readonly warn: string
  readonly warnGround: string
  readonly block: string
  readonly blockGround: string
  readonly unknown: string
  readonly unknownGround: string
  readonly focus: string
  readonly pictureLake: string
  readonly pictureClay: string
  readonly pictureStone: string
  readonly pictureMaize: string
  readonly pictureOutline: string
}

const light: Tokens = {
  ground: '#FAF6EE',
  card: '#FFFFFF',
  sunk: '#F0E8D9',
  ink: '#231B14',
  softInk: '#574A3D',
  edge: '#84735F',
  line: '#D8CBB6',
  lake: '#0F5A6B',
  lakePressed: '#0B4653',
  onLake: '#FFFFFF',
  pass: '#1E6638',
  passGround: '#E3F0E2',
  warn: '#754600',
  warnGround: '#FBE8BF',
  block: '#9C1F1B',
  blockGround: '#FBE3DD',
  unknown: '#514C69',
  unknownGround: '#EAE8F0',
  focus: '#0F5A6B',
  pictureLake: '#0F5A6B',
  pictureClay: '#C2521B',
  pictureStone: '#988C7C',
  pictureMaize: '#E0A526',
  pictureOutline: '#231B14',
}

const dark: Tokens = {
  ground: '#17130F',
  card: '#211B16',
  sunk: '#2C251E',
  ink: '#F4ECDF',
  softInk: '#C9BBA8',
  edge: '#94836F',
  line: '#3F362C',
  lake: '#7CC5D3',
  lakePressed: '#A5DAE4',
  onLake: '#0B2A31',
  pass: '#8CCF9A',
  passGround: '#17301D',
  warn: '#F0BE5C',
  warnGround: '#3A2A0B',
  block: '#FF9C8E',
  blockGround: '#431714',
  unknown: '#BDB6DB',
  unknownGround: '#2A2638',
  focus: '#F2C14E',
  pictureLake: '#6FBFCE',
  pictureClay: '#E9773F',
  pictureStone: '#877B6C',
  pictureMaize: '#F6D27A',
  pictureOutline: '#F4ECDF',
}

const BLACK = '#000000'
const WHITE = '#FFFFFF'

/** For open sun: black on white, no tints; hatching and thicker borders do the work that colour does elsewhere. */
const sunlight: Tokens = {
  ground: WHITE,
  card: WHITE,
  sunk: WHITE,
  ink: BLACK,
  softInk: BLACK,
  edge: BLACK,
  line: BLACK,
  lake: BLACK,
  lakePressed: BLACK,
  onLake: WHITE,
  pass: BLACK,
  passGround: WHITE,
  warn: BLACK,
  warnGround: WHITE,
  block: BLACK,
  blockGround: WHITE,
  unknown: BLACK,
  unknownGround: WHITE,
  focus: BLACK,
  pictureLake: BLACK,
  pictureClay: BLACK,
  pictureStone: BLACK,
  pictureMaize: WHITE,
  pictureOutline: BLACK,
}

export const TOKENS: Readonly<Record<ThemeName, Tokens>> = { light, dark, sunlight }

/** Type in px, phone then desktop. In Sunlight every step up to the heading takes the size of the next one. */
export const TYPE_SCALE = {
  caption: [15, 14],
  text: [17, 16],
  strong: [20, 18],
  heading: [24, 22],
  page: [28, 28],
  figure: [40, 36],
  weight: [72, 72],
} as const satisfies Record<string, readonly [number, number]>
export type TypeStep = keyof typeof TYPE_SCALE

export const SPACE_PX = [4, 8, 12, 16, 24, 40] as const
export const FONT_HEADING = "'Andika', sans-serif"
export const FONT_TEXT = "'Atkinson Hyperlegible Next', sans-serif"
