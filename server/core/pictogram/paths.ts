/**
 * The mill's own pictograms, one set for screen and paper. Each is a list of SVG path texts in a 24 by 24 box, drawn as
 * open lines 2 wide with round ends and no fill, so that a PDF can stroke the same texts. Original drawings.
 */
export const PICTOGRAM_SIZE = 24
export const PICTOGRAM_LINE = 2

const circle = (cx: number, cy: number, r: number): string =>
  `M${cx - r} ${cy}A${r} ${r} 0 1 0 ${cx + r} ${cy}A${r} ${r} 0 1 0 ${cx - r} ${cy}Z`
const dot = (cx: number, cy: number): string => `M${cx} ${cy}L${cx} ${cy + 0.01}`

export const PICTOGRAMS = {
  'maize-cob': [
    'M12 2C8 5 7 11 9 16H15C17 11 16 5 12 2Z',
    'M5 9C4 15 7 20 12 22C17 20 20 15 19 9',
    dot(12, 6),
    dot(10.7, 10),
    dot(13.5, 10),
    dot(12, 13.5),
  ],
  'bran-heap': [
    'M2 20C6 20 8 9 12 9C16 9 18 20 22 20Z',
    dot(12, 13),
    dot(9.5, 16.5),
    dot(14.5, 16.5),
    'M8 4L9 5.5',
    'M12 3V5',
    'M16 4L15 5.5',
  ],
  'soya-pod': ['M4 20C3 13 8 5 20 4C20 14 13 21 4 20Z', circle(9, 15.2, 1.6), circle(12.6, 11.8, 1.6), dot(15.8, 8.3)],
  sunflower: [
    circle(12, 10, 3),
    'M12 2V4',
    'M12 16V22',
    'M4 10H6',
    'M18 10H20',
    'M6.3 4.3L7.8 5.8',
    'M17.7 4.3L16.2 5.8',
    'M6.3 15.7L7.8 14.2',
    'M17.7 15.7L16.2 14.2',
    'M12 21C14 21 16 20 17 18',
  ],
  'cotton-boll': ['M7 13A4 4 0 1 1 9 6A4 4 0 0 1 15 6A4 4 0 1 1 17 13A5 5 0 0 1 7 13Z', 'M12 22V17', 'M7 14L12 19L17 14', 'M12 8V11'],
  groundnut: [
    'M7 3C3 5 3 10 6 11C8 12 8 13 7 15C6 20 11 23 15 20C18 18 18 13 15 12C13 11 13 10 13 8C14 3 10 1 7 3Z',
    dot(8, 7),
    dot(11.5, 16),
  ],
  fish: ['M2 12C6 6 13 6 17 12C13 18 6 18 2 12Z', 'M17 12L22 7V17Z', dot(6.5, 11), 'M11 9C12 11 12 13 11 15'],
  bone: ['M8 13A3 3 0 1 0 5 16A3 3 0 1 0 11 16L16 11A3 3 0 1 0 19 8A3 3 0 1 0 13 8Z'],
  'white-stone': ['M3 18L5 10L10 5L16 6L21 12L20 18L14 20H7Z', 'M10 5L11 11L5 14', 'M11 11L16 13L20 18'],
  'salt-shaker': ['M8 8H16L18 21H6Z', 'M8 8C8 4 16 4 16 8', dot(11, 6), dot(13, 6), dot(10, 13), dot(14, 13), dot(12, 17)],
  'premix-jar': ['M6 8H18V20C18 21 17 22 16 22H8C7 22 6 21 6 20Z', 'M7 3H17V6H7Z', 'M6 13H18', dot(10, 17), dot(14, 17.5), dot(12, 19)],
  'oil-drop': ['M12 2C9 8 5 11 5 15.5A7 6.5 0 0 0 19 15.5C19 11 15 8 12 2Z', 'M9 16C9 17.5 10 18.6 11.5 19'],
  scale: ['M3 21H21V18H3Z', 'M18 18V4', 'M14 2H22V8H14Z', 'M6 18V12H13V18', 'M17 5H19'],
  'table-scale': ['M4 9H20', 'M12 9V12', 'M5 21L7 12H17L19 21Z', circle(12, 17, 2.3), 'M6 9C6 6 8 4 12 4C16 4 18 6 18 9'],
  mixer: ['M4 4H20', 'M6 4V12C6 16 9 18 12 18C15 18 18 16 18 12V4', 'M12 4V13', 'M9 13H15', 'M9 9L15 9', 'M10 18L8 22', 'M14 18L16 22'],
  shovel: ['M14 10L21 3', 'M19 2L22 5', 'M11 7L17 13L13 18C10 21 6 21 3 21C3 18 3 14 6 11Z'],
  clock: [circle(12, 12, 9.5), 'M12 6V12L16 14.5'],
  broom: ['M20 2L12 11', 'M9 9L15 15', 'M9 9C7 13 5 15 2 16L9 22C11 21 13 18 15 15', 'M6 19L9 16'],
  'sealed-bag': ['M6 7C3 12 3 18 5 22H19C21 18 21 12 18 7Z', 'M6 7H18', 'M6 7L5 3L9 4.5L12 3L15 4.5L19 3L18 7', 'M9 14H15'],
  chick: [
    'M9 8A4 4 0 1 1 16 9C20 10 21 19 13 20C6 20 4 15 5 12L9 12',
    'M16.5 6L20 7.5L16.5 9',
    dot(13, 6.5),
    'M11 20V22',
    'M15 20V22',
    'M8 15C10 17 12 17 14 15',
  ],
  'grown-bird': [
    'M15 8C14 12 10 11 7 11L2 8C2 15 6 19 12 19C17 19 19 15 19 8C19 4 15 4 15 8Z',
    'M19 8L22 9.5L19 10.5',
    'M15 5C14.5 3 15.5 2 16.5 3C17.5 1.5 18.8 2.5 18.3 5',
    dot(17, 7),
    'M10 19V22',
    'M14 19V22',
  ],
  'hen-with-egg': [
    'M14 7C13 10 10 9.5 8 9.5L3 7C3 12 6 15.5 11 15.5C15.5 15.5 18 12.5 18 7C18 3.5 14 3.5 14 7Z',
    'M18 7L21 8.3L18 9.2',
    'M14.5 4.3C14 2.5 15 1.5 16 2.5C17 1.2 18 2.3 17.3 4',
    'M9.5 15.5V20',
    'M7 20H11',
    'M17.5 15.5C15.6 15.5 14.5 18 14.5 19.4A3 2.8 0 0 0 20.5 19.4C20.5 18 19.4 15.5 17.5 15.5Z',
  ],
  pill: ['M4 14L14 4A4.2 4.2 0 0 1 20 10L10 20A4.2 4.2 0 0 1 4 14Z', 'M9 9L15 15'],
  'hand-stop': [
    'M7 13V6A1.5 1.5 0 0 1 10 6V11',
    'M10 11V4A1.5 1.5 0 0 1 13 4V11',
    'M13 11V5A1.5 1.5 0 0 1 16 5V12',
    'M16 12V8A1.5 1.5 0 0 1 19 8V15C19 20 16 22 12.5 22C9 22 7.5 20 6 17.5L3.3 13.5C2.6 12 4.5 11 5.5 12.2L7 14',
  ],
  phone: ['M7 2H17V22H7Z', 'M10 19H14', 'M7 5H17', 'M7 16H17'],
  'dry-store': ['M2 11L12 3L22 11', 'M5 9V21H19V9', 'M8 18H16', 'M9 18V13H15V18', 'M7 21V18H17V21'],
  'mask-and-gloves': [
    circle(8, 8.5, 6),
    'M2.4 9.5C5 7.8 11 7.8 13.6 9.5C13.4 13 11 14.5 8 14.5C5 14.5 2.6 13 2.4 9.5Z',
    'M15 22V18.5L12.8 16.2A1.3 1.3 0 0 1 14.8 14.5L16 15.7V10.5A1.4 1.4 0 0 1 18.8 10.5V13.5',
    'M18.8 13.5V11.5A1.4 1.4 0 0 1 21.6 11.5V18L20.6 20V22Z',
  ],
  'do-not-eat': [circle(12, 12, 9.5), 'M5.3 5.3L18.7 18.7', 'M9 6V9.5C9 11 11 11 11 9.5V6', 'M10 11V18', 'M15 18V6C13.4 7 13 10 14 12'],
} as const satisfies Record<string, readonly string[]>

export type PictogramName = keyof typeof PICTOGRAMS
export const PICTOGRAM_NAMES = Object.keys(PICTOGRAMS) as readonly PictogramName[]
