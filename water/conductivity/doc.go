// Package conductivity is the chapter on what meters see of all that is
// dissolved: the electrical conductivity at 25 °C, from Onsager's limiting law
// with the ions' conductivities at infinite dilution (CRC Handbook), sulfate
// pairs taken out first, and the solids that are left when water is dried.
//
// Its tests hold it to the conductivities of salt solutions in handbooks.
package conductivity
