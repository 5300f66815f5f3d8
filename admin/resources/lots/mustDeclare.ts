/** Kinds whose label must be read for medicine before they are received, as the safety checks have it. */
const KINDS: readonly string[] = ['premix', 'concentrate']

export const mustDeclareMedication = (category: string): boolean => KINDS.includes(category)

/** Kinds whose lots the laboratory measures before they are released; minerals, oils and pure amino acids go by their label. */
const BY_LABEL: readonly string[] = ['mineral', 'fat', 'amino_acid', 'vitamin', 'premix', 'concentrate', 'sugar_byproduct']

export const needsTests = (category: string): boolean => !BY_LABEL.includes(category)
