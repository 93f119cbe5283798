#pragma once

#include <string>
#include <vector>

#include "town/map_lines.h"
#include "town/true_network.h"

namespace lastreach {

// The faults of the layer of mains, one function each; each lists what it did.

std::string MainId(int number);  // "W-0042"

// Crossings of two straight streets that are joined in the ground; four of them.
std::vector<size_t> PlainCrossings(const TrueNetwork& network);

// Both lines lose their vertex there. REQUIRES: neither line ends there.
void HidePlainCrossings(const TrueNetwork& network, const std::vector<size_t>& crossings,
                        MainsAsDrawn& drawn);

// The places where the plant's main passes under a street: no fault of the drawing, but it does not say so.
void ListBridges(MainsAsDrawn& drawn);

// Lines cut in two with a gap, and one cut in short bits. Their ids are those the lines get after it.
void CutSome(MainsAsDrawn& drawn);

// Ends that fall short of the line they belong to or run past it, and Larkspur cut off by three metres.
void MoveEnds(MainsAsDrawn& drawn);

// One line of two parts, the second drawn backwards.
void SplitInParts(MainsAsDrawn& drawn);

// Doubled lines, lines without length, a main given up, the river's main.
void AddStrayLines(MainsAsDrawn& drawn);

// Diameters, materials and dates nobody typed.
void ForgetSome(MainsAsDrawn& drawn);

}  // namespace lastreach
