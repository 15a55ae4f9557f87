// The keypad's case: a tub and a lid, closed by four screws over a round cord.
//
//   openscad -D 'part="tub"' -o tub.stl keypad.scad
//   openscad -D 'part="lid"' -o lid.stl keypad.scad
//
// All lengths are in millimetres. **Measure your parts first**: sizes below are from memory, unconfirmed, unless a line
// says otherwise; modules of one name differ. What cannot fit is refused with a sentence. The tub is printed as it lies, the
// lid on its face; both without support, in a plastic that stands wet and warm (PETG, ASA), walls solid.

/* [What is made] */
part = "both"; // [both, closed, tub, lid]

/* [Display: the 2.42-inch class] */
active = [55.0, 27.5];         // what lights up
active_off = [0, 2.0];         // its middle from that of the board, to the right and up, seen from the front
display_board = [72, 43.5];
display_holes = [67.5, 39.5];  // between the middles of its screw holes
display_glass = 3.0;           // from the board to the front of the glass, half a millimetre of air included
display_back = 12;             // behind the board, pins and plug included

/* [Pane in front of it] */
pane = 2.0;                    // acrylic, polycarbonate
pane_rim = 2.5;                // how far it is glued behind the window's edge

/* [Keys: sealed, for a round hole] */
key_hole = 16.2;
key_nut = 21;                  // the widest of nut and collar
key_pitch = 26;                // middle to middle; a gloved finger wants 24 or more
key_back = 28;                 // behind the lid, terminals and wire included

/* [Board: Raspberry Pi Pico, Pico 2] */
pico = [21, 51];               // Pico data sheet, mechanical drawing (from memory)
pico_holes = [11.4, 47];       // as above
pico_post = 5;                 // below it
plug = 32;                     // USB plug and the bend of its cable, in front of the board

/* [Cable gland: M16 × 1.5] */
gland_hole = 16.3;
gland_nut = 24;                // the widest of its nut, across corners
gland_inside = 12;             // what of it stands inside

/* [Case] */
wall = 3;
rim = 7.5;                     // the wall where the lid lies on it
lid = 4;
cord = 2.0;                    // round cord of silicone or EPDM; pressed by a quarter
screw = 3;                     // M3, four, into the plastic
screw_deep = 14;
small_screw = 1.7;             // hole for M2 into the plastic
display_screw = 2.1;           // hole for M2.5 into the plastic
air = 1;                       // least distance between things

$fn = 48;

// ---- What follows from that

corner = 17;
beside = 6;                    // from the rim to the display's board, whose corners are square
post_wall = 3;                 // both sides of a post's hole together
groove = [cord * 1.2, cord * 0.75];
groove_at = rim / 2 + 0.3;     // its middle, from the outside
screw_at = 6;                  // from both outsides

cross = 2 * key_pitch + key_nut;
width = max(display_board.x, cross) + 2 * (rim + beside);
keys_y = wall + gland_inside + 2 * air + cross / 2;
display_y = keys_y + cross / 2 + air + display_board.y / 2;
height = display_y + display_board.y / 2 + rim + beside;
inside = max(key_back, display_glass + display_back + pico_post + 12) + air;
depth = wall + inside;         // of the tub
window = active + [2, 2];
pane_size = window + 2 * [pane_rim, pane_rim];
window_y = display_y + active_off.y;
pico_y = height - rim - 2 * air - pico.y / 2;
gland_z = wall + inside / 2;

// How far from the corner of the outer rectangle a corner of radius `r`, `inset` from the outside, cuts its diagonal.
function diagonal(inset, r) = inset * sqrt(2) + r * (sqrt(2) - 1);

assert(gland_nut + 2 * air <= inside, "the gland's nut is higher than the inside: more key_back, or a smaller gland");
assert(key_pitch >= key_nut + air, "the keys' nuts touch: more key_pitch");
assert(pane + 1 <= lid, "the lid is too thin to hold the pane: at least 1 mm more than it");
assert(pico_y - pico.y / 2 - plug >= wall + gland_inside, "the plug meets the gland: another board, or more key_pitch");
assert(pico_post + 12 + display_glass + display_back <= inside, "board and display meet");
assert(max((display_holes - pane_size) / 2 - [abs(active_off.x), abs(active_off.y)]) >= (display_screw + post_wall) / 2,
    "the pane lies where the display's posts stand: less pane_rim");
assert(groove_at - groove.x / 2 >= 1.2 && rim - groove_at - groove.x / 2 >= 1.2, "the groove breaks out: more rim");
assert(norm([corner - beside, corner - beside]) <= corner - air, "the display's board meets the rim: more beside");
assert(diagonal(groove_at, corner) - screw_at * sqrt(2) >= groove.x / 2 + screw / 2 + 1.2, "a screw meets the groove");
assert(diagonal(wall, corner) - screw_at * sqrt(2) >= screw / 2 + 1.2, "a screw breaks into the inside");

// The outside's rectangle, `inset` from it, with corners of radius `r`.
module plate(inset, r) {
    translate([inset + r, inset + r]) offset(r) square([width - 2 * (inset + r), height - 2 * (inset + r)]);
}

module at_screws() {
    for (x = [screw_at, width - screw_at], y = [screw_at, height - screw_at]) translate([x, y]) children();
}

// Children at the four corners of a rectangle around a middle.
module at_corners(middle, size) {
    for (x = [-0.5, 0.5], y = [-0.5, 0.5]) translate(middle + [x * size.x, y * size.y]) children();
}

module post(high, hole, deep) {
    difference() {
        cylinder(h = high, d = hole + post_wall);
        translate([0, 0, high - deep]) cylinder(h = deep + 1, d = hole);
    }
}

module tub() {
    step = rim - wall; // the wall grows to the rim at 45°, so that it prints without support
    difference() {
        linear_extrude(depth) plate(0, screw_at);
        translate([0, 0, wall]) linear_extrude(depth - 2 * wall - step) plate(wall, corner);
        hull() {
            translate([0, 0, depth - wall - step - 0.02]) linear_extrude(0.01) plate(wall, corner);
            translate([0, 0, depth - wall]) linear_extrude(wall + 1) plate(rim, corner);
        }
        at_screws() translate([0, 0, depth - screw_deep]) cylinder(h = screw_deep + 1, d = screw * 0.85);
        translate([width / 2, -1, gland_z]) rotate([-90, 0, 0]) cylinder(h = wall + 2, d = gland_hole);
    }
    at_corners([width / 2, pico_y], pico_holes) translate([0, 0, wall - 0.1]) post(pico_post + 0.1, small_screw, pico_post);
}

// The lid with its face at the bottom; what is behind it is above.
module lid() {
    difference() {
        linear_extrude(lid) plate(0, screw_at);
        // Window, its edge sloped so that nothing collects there, and the pane behind it.
        hull() {
            translate([0, 0, -0.01]) face_hole(window + 2 * [lid - pane, lid - pane], 0.01);
            translate([0, 0, lid - pane - 0.01]) face_hole(window, 0.01);
        }
        translate([0, 0, lid - pane - 0.02]) face_hole(pane_size, pane + 1);
        for (way = [[0, 0], [1, 0], [-1, 0], [0, 1], [0, -1]])
            translate([width / 2, keys_y, -1] + key_pitch * [way.x, way.y, 0]) cylinder(h = lid + 2, d = key_hole);
        at_screws() translate([0, 0, -1]) cylinder(h = lid + 2, d = screw + 0.4);
        translate([0, 0, lid - groove.y]) linear_extrude(groove.y + 1) difference() {
            plate(groove_at - groove.x / 2, corner);
            plate(groove_at + groove.x / 2, corner - groove.x);
        }
    }
    at_corners([width / 2, display_y], display_holes)
        translate([0, 0, lid - 0.1]) post(display_glass + 0.1, display_screw, display_glass);
}

// A rectangle of the display, around the middle of what lights up.
module face_hole(size, high) {
    // Seen from behind, right is left.
    translate([width / 2 - active_off.x - size.x / 2, window_y - size.y / 2]) cube([size.x, size.y, high]);
}

// The cord lies in the middle of the groove.
middle = corner - groove.x / 2;
echo(outside = [width, height, depth + lid]);
echo(cord_length = 2 * (width + height - 4 * groove_at) - (8 - 2 * PI) * middle);
echo(keys_at = [width / 2, keys_y], lit_at = [width / 2 - active_off.x, window_y]);

if (part == "tub" || part == "both") tub();
if (part == "lid") lid();
if (part == "both") translate([width + 10, 0, 0]) lid();
if (part == "closed") {
    tub();
    translate([width, 0, depth + lid]) rotate([0, 180, 0]) lid();
}
